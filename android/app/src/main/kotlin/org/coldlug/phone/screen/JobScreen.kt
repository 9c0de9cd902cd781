package org.coldlug.phone.screen

import android.view.View
import org.coldlug.phone.R
import org.coldlug.phone.Words
import org.coldlug.phone.look.Buttons
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Mark
import org.coldlug.phone.look.Parts
import org.coldlug.phone.look.band
import org.coldlug.phone.look.pair
import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Deed
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Offer
import uniffi.coldlug_phone.Page
import uniffi.coldlug_phone.PageKey
import uniffi.coldlug_phone.Screen
import uniffi.coldlug_phone.Sentence
import uniffi.coldlug_phone.Shown

/** One screen of a job: the physical state, the headline, why, and what leads on. */
class JobScreen(
    private val look: Look,
    private val words: Words,
    private val open: (Act) -> Unit,
    private val read: (Page) -> Unit,
    private val back: () -> Unit,
) {
    private val buttons = Buttons(look)

    fun parts(shown: Shown): Parts {
        val stop = shown.acts.firstOrNull { it.deed == Deed.STOP }
        val leading = shown.acts.firstOrNull { it.permitted && it !== stop }
        val others = shown.acts.filter { it !== leading && it !== stop }
        val (marked, plain) = shown.pages.partition { it.tone != null }
        return Parts(
            top = look.physical(shown.physical) + look.band(shown.headline, Mark.of(shown.tone)),
            lead = listOfNotNull(leading).flatMap { lead(it, settling(shown.screen)) } + ways(stop),
            rest = pages(marked) + About(look, words).lines(shown.screen) + pages(plain) + also(others),
        )
    }

    /** Always at hand, wherever the rest is scrolled to: the way back, and to stop. */
    private fun ways(stop: Offer?): View {
        val back = buttons.plain(words[Label.BACK], null, back)
        return if (stop == null) back else look.pair(back, other(stop))
    }

    /** What would settle it, where a screen says so. */
    private fun settling(screen: Screen): Sentence? =
        (screen as? Screen.Ledger)?.judgement?.settlingTests?.firstOrNull()?.sentence

    /** The one big button: what to do, and below it the act by which that begins. */
    private fun lead(offer: Offer, settling: Sentence?): List<View> {
        val said = if (settling == null) offer.label else both(settling, offer.label)
        val heading = settling?.let { look.heading(words[Label.SETTLE]) }
        return listOfNotNull(heading, buttons.big(said, glyph(offer.deed)) { open(offer.act) })
    }

    private fun both(first: Sentence, second: Sentence) =
        Sentence(second.id, "${first.text}\n› ${second.text}", "${first.spoken} ${second.spoken}")

    /** Keys of what is read and asks nothing. */
    private fun pages(keys: List<PageKey>): List<View> =
        keys.map { key ->
            val glyph = key.tone?.let { Mark.of(it).shape } ?: R.drawable.act_eye
            buttons.plain(key.label, glyph) { read(key.page) }
        }

    private fun also(offers: List<Offer>): List<View> =
        if (offers.isEmpty()) emptyList() else listOf(look.heading(words[Label.MORE])) + offers.map(::other)

    private fun other(offer: Offer): View =
        if (offer.permitted) {
            buttons.plain(offer.label, glyph(offer.deed)) { open(offer.act) }
        } else {
            look.line("${offer.label.text} (${words[Label.OTHER_ROLE].text})")
        }
}
