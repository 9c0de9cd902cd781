package org.coldlug.phone.screen

import android.view.View
import org.coldlug.phone.Words
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Mark
import uniffi.coldlug_phone.Claim
import uniffi.coldlug_phone.Judgement
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Standing

/** Why the verdict is what it is: what may be behind it, and each claim of the map beside how it stands. */
class Claims(private val look: Look, private val words: Words) {
    /** What may be behind it, then every claim, in the core's order. */
    fun lines(judgement: Judgement): List<View> {
        val behind = judgement.explanations.map { look.line(it) }
        return listOf(look.heading(words[Label.WHY])) + behind + judgement.ledger.map(::line)
    }

    private fun line(claim: Claim): View {
        val stands = words[label(claim.standing)]
        return look.line("${stands.text}: ${claim.sentence}").apply {
            contentDescription = "${stands.spoken}: ${claim.sentence}"
            with(look) { leadBy(Mark.of(claim.standing).shape) }
        }
    }

    private fun label(standing: Standing): Label =
        when (standing) {
            Standing.AGREES -> Label.AGREES
            Standing.UNSETTLED -> Label.UNSETTLED
            Standing.CONTRADICTS -> Label.CONTRADICTS
        }
}
