package org.coldlug.phone.screen

import android.view.View
import org.coldlug.phone.Words
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Mark
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.LegLine
import uniffi.coldlug_phone.PointLine
import uniffi.coldlug_phone.Screen
import uniffi.coldlug_phone.Sentence

/** What a screen is about, below its headline: as the core gives it, line by line. */
class About(private val look: Look, private val words: Words) {
    /** The lines of a screen. */
    fun lines(screen: Screen): List<View> =
        when (screen) {
            is Screen.JobList -> emptyList()
            is Screen.Briefing -> screen.missing.map { look.line(it) }
            is Screen.Where -> listOfNotNull(screen.word).map { look.line(it) }
            is Screen.Switching -> screen.prompts.flatMap { listOf(named("${it.slot}", it.word), look.line(it.say)) }
            is Screen.Keys -> NotYetDrawn.lines()
            is Screen.Handover -> handover(screen)
            is Screen.Ledger -> Claims(look, words).lines(screen.judgement)
            is Screen.Lift -> listOf(look.line(screen.set, bold = true)) + legs(screen.legs)
            is Screen.Proof -> points(screen.points)
            is Screen.Clearance -> said(screen.holding)
            is Screen.Restore -> legs(screen.legs)
            is Screen.Stopped -> listOf(look.line(screen.event))
            is Screen.Closed -> NotYetDrawn.lines()
        }

    private fun handover(screen: Screen.Handover): List<View> =
        listOf(look.line(screen.hands, bold = true)) + said(screen.opened) + said(screen.proven) + points(screen.points)

    private fun said(all: List<Sentence>): List<View> = all.map { look.line(it) }

    private fun legs(legs: List<LegLine>): List<View> = legs.map { named(it.leg, it.state) }

    private fun named(name: String, said: Sentence): View =
        look.line("$name: ${said.text}").apply { contentDescription = "$name: ${said.spoken}" }

    private fun points(points: List<PointLine>): List<View> = points.map(::point)

    private fun point(point: PointLine): View {
        val (mark, label) =
            when (point.fits) {
                true -> Mark.Disc to Label.FITS
                false -> Mark.Bar to Label.FITS_NOT
                null -> Mark.Ring to if (point.next) Label.READ_NOW else Label.NOT_READ
            }
        val read = listOfNotNull(point.label.text, point.reads?.text, words[label].text)
        return look.line(read.joinToString(", "), bold = point.next).apply { with(look) { leadBy(mark.shape) } }
    }
}
