package org.coldlug.phone.screen

import android.view.View
import android.widget.LinearLayout
import org.coldlug.phone.Words
import org.coldlug.phone.ask.yesNo
import org.coldlug.phone.look.Buttons
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Parts
import org.coldlug.phone.look.pair
import uniffi.coldlug_phone.Ask
import uniffi.coldlug_phone.AskKind
import uniffi.coldlug_phone.Choice
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Offer

/**
 * One page of an act. An act with one question is signed on its page; one with several ends with
 * all answers once more; one with none asks whether it is done.
 */
class ActPage(
    private val look: Look,
    private val words: Words,
    private val offer: Offer,
    private val answers: Answers,
) {
    /** What the keys do. */
    interface Keys {
        fun back()

        fun next()

        fun sign(offer: Offer)
    }

    private val buttons = Buttons(look)

    /** The question of this page; null: there is none. */
    fun ask(): Ask? = offer.asks.getOrNull(answers.page)?.also { answers.show(it.`field`) }

    fun parts(top: List<View>, control: View?, keys: Keys): Parts {
        val act = look.line(offer.label, Look.Size.Body, bold = true)
        val ask = ask()
        val title =
            when {
                ask != null -> look.line(ask.label, Look.Size.Large)
                offer.asks.isEmpty() -> look.line(words[Label.SURE], Look.Size.Large)
                else -> look.line(words[Label.CHECK], Look.Size.Large)
            }
        val low = ask?.kind is AskKind.Number
        // Where a pad stands low, what it asks stands right above it.
        val beside = low && look.shape == Look.Shape.Tall
        return Parts(
            top = top + act + listOf(title).filterNot { beside },
            lead = listOf(look.pair(buttons.plain(words[Label.BACK], null, keys::back), on(ask, keys))),
            rest = if (ask == null) offer.asks.map(::answered) else listOfNotNull(title.takeIf { beside }, control),
            low = low,
        )
    }

    private fun on(ask: Ask?, keys: Keys): View {
        if (ask == null || offer.asks.size == 1) {
            return buttons.big(offer.label, glyph(offer.deed)) { keys.sign(offer) }
        }
        val open = !ask.required && answers[ask.`field`].isEmpty()
        return buttons.big(words[if (open) Label.SKIP else Label.NEXT], null, keys::next)
    }

    /** An ask and its answer, once more. */
    private fun answered(ask: Ask): View {
        val given = answers[ask.`field`].joinToString(", ") { said(ask.kind, it) }
        val answer = given.ifEmpty { words[Label.EMPTY].text }
        return LinearLayout(look.context).apply {
            orientation = LinearLayout.VERTICAL
            addView(look.line(ask.label))
            addView(look.line(answer, Look.Size.Large, bold = true))
        }
    }

    private fun said(kind: AskKind, value: String): String =
        when (kind) {
            is AskKind.Number -> "$value ${kind.unit}"
            is AskKind.Text -> value
            is AskKind.One -> chosen(kind.of, value)
            is AskKind.Several -> chosen(kind.of, value)
            is AskKind.YesNo -> chosen(yesNo(words), value)
            is AskKind.Photo -> words[Label.PICTURE_KEPT].text
        }

    private fun chosen(of: List<Choice>, value: String): String =
        of.firstOrNull { it.value == value }?.label?.text ?: value
}
