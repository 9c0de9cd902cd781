package org.coldlug.phone.screen

import android.view.View
import org.coldlug.phone.Words
import org.coldlug.phone.look.Buttons
import org.coldlug.phone.look.DiagramView
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Mark
import org.coldlug.phone.look.Parts
import org.coldlug.phone.look.band
import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Offer
import uniffi.coldlug_phone.PageShown
import uniffi.coldlug_phone.Passage
import uniffi.coldlug_phone.PassageLine

/** A page that is read: the physical state, what counts most, what it leads to, the drawing, everything else. */
class PageScreen(
    private val look: Look,
    private val words: Words,
    private val open: (Act) -> Unit,
    private val back: () -> Unit,
) {
    private val buttons = Buttons(look)

    fun parts(shown: PageShown): Parts =
        Parts(
            top = look.physical(shown.physical) + look.band(shown.headline, Mark.of(shown.tone)),
            lead = shown.acts.map(::lead) + buttons.plain(words[Label.BACK], null, back),
            rest = listOfNotNull(shown.diagram).map { DiagramView(look, it) } + shown.passages.flatMap(::passage),
        )

    private fun lead(offer: Offer): View = buttons.big(offer.label, glyph(offer.deed)) { open(offer.act) }

    private fun passage(passage: Passage): List<View> = listOf(look.heading(passage.title)) + passage.lines.map(::line)

    private fun line(line: PassageLine): View {
        val tone = line.tone ?: return look.line(line.said)
        return look.line(line.said, bold = true).apply { with(look) { leadBy(Mark.of(tone).shape) } }
    }
}
