package org.coldlug.phone.screen

import android.view.View
import org.coldlug.phone.Words
import org.coldlug.phone.look.Buttons
import org.coldlug.phone.look.DiagramView
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Mark
import org.coldlug.phone.look.Parts
import org.coldlug.phone.look.band
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.PageShown
import uniffi.coldlug_phone.Passage
import uniffi.coldlug_phone.PassageLine

/** A page that asks nothing: the physical state, what counts most, the drawing, everything else. */
class PageScreen(private val look: Look, private val words: Words, private val back: () -> Unit) {
    fun parts(shown: PageShown): Parts =
        Parts(
            top = look.physical(shown.physical) + look.band(shown.headline, Mark.of(shown.tone)),
            lead = listOf(Buttons(look).plain(words[Label.BACK], null, back)),
            rest = listOfNotNull(shown.diagram).map { DiagramView(look, it) } + shown.passages.flatMap(::passage),
        )

    private fun passage(passage: Passage): List<View> = listOf(look.heading(passage.title)) + passage.lines.map(::line)

    private fun line(line: PassageLine): View {
        val tone = line.tone ?: return look.line(line.said)
        return look.line(line.said, bold = true).apply { with(look) { leadBy(Mark.of(tone).shape) } }
    }
}
