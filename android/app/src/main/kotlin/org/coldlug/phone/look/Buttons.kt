package org.coldlug.phone.look

import android.view.Gravity
import android.view.View
import android.widget.Button
import org.coldlug.phone.R
import uniffi.coldlug_phone.Sentence

/** What can be touched, in three weights. */
class Buttons(private val look: Look) {
    /** The one that leads on: filled, and larger than everything else. */
    fun big(said: Sentence, glyph: Int?, touched: () -> Unit): Button =
        plain(said, glyph, touched).apply {
            setTextColor(look.colour(R.color.paper))
            background = look.face(look.colour(R.color.ink), look.colour(R.color.ink))
            textSize = Look.Size.Large.sp
            typeface = android.graphics.Typeface.DEFAULT_BOLD
            minHeight = look.dp(BIG)
            lead(glyph, Look.Size.Large)
        }

    /** Everything else that can be done: an edge around its words. */
    fun plain(said: Sentence, glyph: Int?, touched: () -> Unit): Button =
        Button(look.context).apply {
            text = said.text
            if (said.spoken != said.text) contentDescription = said.spoken
            isAllCaps = false
            stateListAnimator = null
            textSize = Look.Size.Body.sp
            setTextColor(look.colour(R.color.ink))
            background = look.face(look.colour(R.color.paper), look.colour(R.color.ink))
            gravity = Gravity.START or Gravity.CENTER_VERTICAL
            textAlignment = View.TEXT_ALIGNMENT_VIEW_START
            minHeight = look.dp(Look.TARGET)
            minimumHeight = look.dp(Look.TARGET)
            val side = look.dp(Look.MARGIN)
            setPaddingRelative(side, look.dp(Look.GAP), side, look.dp(Look.GAP))
            lead(glyph, Look.Size.Body)
            setOnClickListener { touched() }
        }

    /** One key of a pad. */
    fun key(said: Sentence, touched: () -> Unit): Button =
        plain(said, null, touched).apply {
            gravity = Gravity.CENTER
            textAlignment = View.TEXT_ALIGNMENT_CENTER
            textSize = Look.Size.Huge.sp
            setPadding(0, 0, 0, 0)
        }

    private fun Button.lead(glyph: Int?, size: Look.Size) {
        if (glyph != null) with(look) { leadBy(glyph, size) }
    }

    private companion object {
        const val BIG = 88
    }
}
