package org.coldlug.phone

import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Candidate
import uniffi.coldlug_phone.Claim
import uniffi.coldlug_phone.Deed
import uniffi.coldlug_phone.Judgement
import uniffi.coldlug_phone.Offer
import uniffi.coldlug_phone.Screen
import uniffi.coldlug_phone.Sentence
import uniffi.coldlug_phone.SettlingTest
import uniffi.coldlug_phone.Shown
import uniffi.coldlug_phone.Standing
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
        )

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
