package org.coldlug.phone

import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Candidate
import uniffi.coldlug_phone.Claim
import uniffi.coldlug_phone.Deed
import uniffi.coldlug_phone.Diagram
import uniffi.coldlug_phone.DiagramMark
import uniffi.coldlug_phone.Judgement
import uniffi.coldlug_phone.Offer
import uniffi.coldlug_phone.Page
import uniffi.coldlug_phone.PageKey
import uniffi.coldlug_phone.PageShown
import uniffi.coldlug_phone.Passage
import uniffi.coldlug_phone.PassageLine
import uniffi.coldlug_phone.Pen
import uniffi.coldlug_phone.Screen
import uniffi.coldlug_phone.Sentence
import uniffi.coldlug_phone.SettlingTest
import uniffi.coldlug_phone.Shown
import uniffi.coldlug_phone.Spot
import uniffi.coldlug_phone.Standing
import uniffi.coldlug_phone.Stroke
import uniffi.coldlug_phone.Tone
import uniffi.coldlug_phone.VerdictName

/** Screens made up for pictures: what a crew meets hours into a job. */
object Made {
    fun said(text: String) = Sentence("made-up", text, text)

    fun ledger(verdict: VerdictName, tone: Tone, headline: String): Shown =
        Shown(
            physical = listOf(
                said("L1, L2 of P-2207 position 2 lifted and NOT made safe yet, by lw-a since 14:05."),
                said("Meter 80411 is out, by lw-b since 13:52."),
            ),
            headline = said(headline),
            tone = tone,
            screen = Screen.Ledger(judgement(verdict, headline, against = tone == Tone.STOP)),
            acts = listOf(
                Offer(Act.CLAMP, Deed.MEASURE, said("Clamp one leg"), true, emptyList()),
                Offer(Act.MARK_SETS, Deed.HAND, said("Count and mark the sets"), true, emptyList()),
                Offer(Act.READ_PICTURE, Deed.LOOK, said("Read the number on a picture"), true, emptyList()),
                Offer(Act.END_LINK, Deed.WORD, said("End the offer by link"), false, emptyList()),
                Offer(Act.STOP, Deed.STOP, said("Stop, make safe"), true, emptyList()),
            ),
            pages = listOf(
                PageKey(Page.PLAN, said("The plan, drawn"), null),
                PageKey(
                    Page.FAULT_CURRENT,
                    said("The meter base withstands 5000 A and may see 6074 A: stop and have it looked into."),
                    Tone.STOP,
                ),
            ),
        )

    /** A page with a drawing of every kind of mark: a set lifted, proven dead and shorted, and its zone. */
    fun opened(): PageShown =
        PageShown(
            physical = listOf(said("L1, L2 of P-2207 position 2 lifted, capped, restrained and tagged, by lw-a since 14:05.")),
            headline = said("S-118: proven dead"),
            tone = Tone.REST,
            diagram = Diagram("One-line diagram for S-118", "S-118: proven dead", 288, 220, marks()),
            acts = listOf(Offer(Act.READ_LOAD, Deed.MEASURE, said("Read the amps at a switch"), true, emptyList())),
            passages = listOf(Passage(said("To mind"), listOf(PassageLine(said("The neutral stays landed and is never dead."), null)))),
        )

    private fun marks(): List<DiagramMark> {
        fun line(x: Int, y: Int, toX: Int, toY: Int, pen: Pen) = DiagramMark.Line(Spot(x, y), Spot(toX, toY), pen)
        fun words(x: Int, y: Int, text: String, heavy: Boolean) = DiagramMark.Words(Spot(x, y), text, 16, heavy)
        val bar = Pen(Stroke.BAR, 4, null, false)
        val thin = Pen(Stroke.THIN, 2, null, false)
        val earth = listOf(line(38, 96, 38, 102, bar), line(30, 102, 46, 102, bar), line(33, 107, 43, 107, bar), line(36, 112, 40, 112, bar))
        val gap = listOf(line(12, 43, 28, 43, bar), line(14, 55, 26, 55, bar), line(14, 55, 14, 63, bar), line(26, 55, 26, 63, bar))
        val hatch = (140..210 step 7).map { line(268, it, 277, it - 9, Pen(Stroke.HATCH, 2, null, false)) }
        return listOf(
            line(20, 6, 20, 41, Pen(Stroke.LIVE, 5, null, true)),
            DiagramMark.Frame(Spot(14, 12), 12, 12, thin, true),
            words(50, 22, "lugs 1", false),
            words(120, 22, "landed, live", true),
            DiagramMark.Ring(Spot(61, 49), 11, thin, false),
            words(56, 55, "2", true),
            words(78, 55, "lugs 2", false),
            words(78, 75, "lifted, capped", true),
            line(20, 57, 20, 214, Pen(Stroke.DEAD, 2, 4, false)),
            DiagramMark.Ring(Spot(20, 96), 4, thin, true),
            line(20, 96, 38, 96, bar),
            words(60, 102, "shorted to neutral", true),
            DiagramMark.Frame(Spot(8, 126), 272, 90, Pen(Stroke.ZONE, 3, null, false), false),
            words(50, 150, "WORK ZONE", true),
            words(50, 172, "base S-118", false),
            words(50, 192, "proven dead", true),
        ) + gap + earth + hatch
    }

    private fun judgement(verdict: VerdictName, headline: String, against: Boolean) =
        Judgement(
            service = "S-118",
            until = null,
            verdict = verdict,
            sentence = said(headline),
            set = null,
            contradicted = emptyList(),
            noSetLeft = false,
            stillExcluded = emptyList(),
            premises = emptyList(),
            candidates = listOf(Candidate(null, true, emptyList())),
            ledger = listOf(
                claim("P-2207 position 2 feeds S-118", if (against) Standing.CONTRADICTS else Standing.AGREES),
                claim("S-118 has meter 80411", Standing.AGREES),
                claim("P-2207 position 2 is aluminium 4/0", Standing.UNSETTLED),
                claim("P-2207 holds 3 sets", Standing.AGREES),
            ),
            explanations = if (!against) emptyList() else listOf(
                said("S-118 and S-119 may hang on each other's sets. Explains what was found. To confirm: switch the known load at S-119 and read P-2207 position 2."),
            ),
            settlingTests = listOf(
                SettlingTest("test-load-step", said("Clamp P-2207 position 3, found by lug position, and switch the known load in code."), listOf("It follows the code: it speaks for this set."), 2u, 4u, 9u),
            ),
            idle = emptyList(),
        )

    private fun claim(sentence: String, standing: Standing) = Claim("made-up", sentence, standing, emptyList())
}
