package org.coldlug.phone.look

import android.view.Gravity
import android.view.View
import android.widget.ImageView
import android.widget.LinearLayout
import org.coldlug.phone.R
import uniffi.coldlug_phone.Sentence
import uniffi.coldlug_phone.Standing
import uniffi.coldlug_phone.Tone

/** How a headline stands out: by its shape first, by its colour only besides. */
enum class Mark(val shape: Int, val field: Int, val ink: Int) {
    Disc(R.drawable.mark_disc, R.color.disc_field, R.color.disc_ink),
    Bar(R.drawable.mark_bar, R.color.bar_field, R.color.bar_ink),
    Half(R.drawable.mark_half, R.color.half_field, R.color.half_ink),
    Ring(R.drawable.mark_ring, R.color.ring_field, R.color.ring_ink);

    companion object {
        /** The mark of a tone. */
        fun of(tone: Tone): Mark =
            when (tone) {
                Tone.GO -> Disc
                Tone.STOP -> Bar
                Tone.WAIT -> Half
                Tone.REST -> Ring
            }

        /** The mark of a claim. */
        fun of(standing: Standing): Mark =
            when (standing) {
                Standing.AGREES -> Disc
                Standing.CONTRADICTS -> Bar
                Standing.UNSETTLED -> Half
            }
    }
}

/** A headline on its field, led by its mark. */
fun Look.band(said: Sentence, mark: Mark): View =
    LinearLayout(context).apply {
        gravity = Gravity.CENTER_VERTICAL
        setBackgroundColor(colour(mark.field))
        val side = dp(Look.MARGIN)
        setPaddingRelative(side, dp(Look.GAP), side, dp(Look.GAP))
        val shape = ImageView(context).apply {
            setImageDrawable(shape(mark.shape, colour(mark.ink), MARK_SP))
            importantForAccessibility = View.IMPORTANT_FOR_ACCESSIBILITY_NO
        }
        val drawn = LinearLayout.LayoutParams(sp(MARK_SP), sp(MARK_SP)).apply { marginEnd = side }
        addView(shape, drawn)
        val words = line(said, Look.Size.Large, bold = true).apply { setTextColor(colour(mark.ink)) }
        addView(words, LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.WRAP_CONTENT, 1f))
    }

private const val MARK_SP = 38f
