package org.coldlug.phone.look

/** A number while it is typed: the keys pressed so far. The core reads it; nothing is read here. */
class TypedNumber(private val changed: (String) -> Unit) {
    /** As it stands. */
    var text: String = ""
        set(value) {
            field = value
            changed(value)
        }

    fun digit(digit: Char) {
        text += digit
    }

    /** One point, however often it is pressed. */
    fun point() {
        if (POINT !in text) text += POINT
    }

    /** Turns the sign. */
    fun minus() {
        text = if (text.startsWith(MINUS)) text.drop(1) else MINUS + text
    }

    fun delete() {
        text = text.dropLast(1)
    }

    private companion object {
        const val POINT = '.'
        const val MINUS = "-"
    }
}
