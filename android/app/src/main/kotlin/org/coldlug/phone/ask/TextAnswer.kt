package org.coldlug.phone.ask

import android.text.InputType
import android.view.View
import android.widget.EditText
import org.coldlug.phone.R
import org.coldlug.phone.look.Look
import uniffi.coldlug_phone.Ask

/** Words, a tag, a number that is a name: typed on the phone's own keyboard. */
class TextAnswer(look: Look, ask: Ask) : Answering {
    private val typed: EditText = field(look, ask.label.spoken)

    override val view: View = typed

    override var values: List<String>
        get() = listOf(typed.text.toString()).filter { it.isNotEmpty() }
        set(value) = typed.setText(value.firstOrNull().orEmpty())
}

/** A field for words. Nothing is guessed or corrected in it: a tag is no word. */
fun field(look: Look, spoken: String): EditText =
    EditText(look.context).apply {
        inputType =
            InputType.TYPE_CLASS_TEXT or InputType.TYPE_TEXT_FLAG_NO_SUGGESTIONS or
                InputType.TYPE_TEXT_FLAG_MULTI_LINE
        // The screen keeps every answer itself, under its ask.
        isSaveEnabled = false
        contentDescription = spoken
        textSize = Look.Size.Large.sp
        setTextColor(look.colour(R.color.ink))
        background = look.face(look.colour(R.color.paper), look.colour(R.color.ink))
        minHeight = look.dp(Look.TARGET)
        minimumHeight = look.dp(Look.TARGET)
        val side = look.dp(Look.MARGIN)
        setPaddingRelative(side, look.dp(Look.GAP), side, look.dp(Look.GAP))
    }
