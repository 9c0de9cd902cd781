package org.coldlug.phone.ask

import android.util.TypedValue
import android.view.Gravity
import android.view.View
import android.widget.LinearLayout
import android.widget.TextView
import org.coldlug.phone.R
import org.coldlug.phone.Words
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.NumberPad
import org.coldlug.phone.look.TypedNumber
import uniffi.coldlug_phone.Ask
import uniffi.coldlug_phone.AskKind
import uniffi.coldlug_phone.Label

/** A number, typed as the instrument's display shows it: the figure, its unit beside it, our pad. */
class NumberAnswer(
    private val look: Look,
    private val words: Words,
    private val ask: Ask,
    private val kind: AskKind.Number,
) : Answering {
    private val figure: TextView = figure()
    private val typed = TypedNumber(::show)

    override val view: View =
        LinearLayout(look.context).apply {
            orientation = LinearLayout.VERTICAL
            val half = look.dp(Look.GAP) / 2
            val full = LinearLayout.LayoutParams.MATCH_PARENT
            val place = LinearLayout.LayoutParams(full, LinearLayout.LayoutParams.WRAP_CONTENT)
            addView(display(), place.apply { setMargins(half, half, half, half) })
            addView(NumberPad(look, words, kind.digits, typed).view)
        }

    override var values: List<String>
        get() = listOf(typed.text).filter { it.isNotEmpty() }
        set(value) {
            typed.text = value.firstOrNull().orEmpty()
        }

    init {
        show("")
    }

    private fun show(text: String) {
        figure.text = text
        val said = text.ifEmpty { words[Label.EMPTY].spoken }
        figure.contentDescription = "${ask.label.spoken}: $said ${kind.unit}"
    }

    private fun figure() =
        look.line("", Look.Size.Huge, bold = true).apply {
            id = R.id.figure
            textDirection = View.TEXT_DIRECTION_LTR
            gravity = Gravity.END or Gravity.CENTER_VERTICAL
            textAlignment = View.TEXT_ALIGNMENT_GRAVITY
            maxLines = 1
            setAutoSizeTextTypeUniformWithConfiguration(LEAST_SP, MOST_SP, 1, TypedValue.COMPLEX_UNIT_SP)
            accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_POLITE
        }

    private fun display() =
        LinearLayout(look.context).apply {
            layoutDirection = View.LAYOUT_DIRECTION_LTR
            gravity = Gravity.CENTER_VERTICAL
            background = look.face(look.colour(R.color.paper), look.colour(R.color.ink))
            val side = look.dp(Look.MARGIN)
            setPadding(side, 0, side, 0)
            val height = look.sp(DISPLAY_SP)
            addView(figure, LinearLayout.LayoutParams(0, height, 1f))
            if (kind.unit.isNotEmpty()) {
                val unit = look.line(kind.unit, Look.Size.Huge)
                unit.importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
                val wrap = LinearLayout.LayoutParams.WRAP_CONTENT
                addView(unit, LinearLayout.LayoutParams(wrap, wrap).apply { marginStart = side })
            }
        }

    private companion object {
        const val LEAST_SP = 18
        const val MOST_SP = 42
        const val DISPLAY_SP = 60f
    }
}
