package org.coldlug.phone.look

import android.view.HapticFeedbackConstants
import android.view.View
import android.widget.LinearLayout
import android.widget.Space
import org.coldlug.phone.Words
import uniffi.coldlug_phone.Digits
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Sentence

/** Our own pad: keys for a gloved finger, and only those that the number needs. */
class NumberPad(
    private val look: Look,
    private val words: Words,
    digits: Digits,
    private val typed: TypedNumber,
) {
    /** The keys. Digits run from left to right in every script. */
    val view: View =
        LinearLayout(look.context).apply {
            orientation = LinearLayout.VERTICAL
            layoutDirection = View.LAYOUT_DIRECTION_LTR
            for (row in ROWS) addView(rowOf(row.map { digit(it) }))
            addView(rowOf(before(digits) + listOf(digit('0'), said(Label.DELETE) { typed.delete() })))
        }

    /** The keys before the nought; null: a gap, so that the others stay in their columns. */
    private fun before(digits: Digits): List<View?> {
        val point = { said(Label.POINT) { typed.point() } }
        return when (digits) {
            Digits.WHOLE -> listOf(null)
            Digits.DECIMAL -> listOf(point())
            Digits.SIGNED -> listOf(said(Label.MINUS) { typed.minus() }, point())
        }
    }

    private fun digit(digit: Char): View =
        key(Sentence("", digit.toString(), digit.toString())) { typed.digit(digit) }

    private fun said(label: Label, press: () -> Unit): View = key(words[label], press)

    private fun key(said: Sentence, press: () -> Unit): View {
        lateinit var key: View
        key = Buttons(look).key(said) {
            key.performHapticFeedback(HapticFeedbackConstants.KEYBOARD_TAP)
            press()
        }
        return key
    }

    private fun rowOf(keys: List<View?>): View =
        LinearLayout(look.context).apply {
            for (key in keys) {
                val place = LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.WRAP_CONTENT, 1f)
                val half = look.dp(Look.GAP) / 2
                place.setMargins(half, half, half, half)
                addView(key ?: Space(look.context), place)
            }
        }

    private companion object {
        val ROWS = listOf("123", "456", "789").map { it.toList() }
    }
}
