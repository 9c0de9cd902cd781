package org.coldlug.phone.look

import android.view.Gravity
import android.view.View
import android.widget.LinearLayout
import android.widget.ScrollView
import org.coldlug.phone.R

/** What stands where on a screen. */
class Parts(
    /** Read first: the physical state, the headline. */
    val top: List<View>,
    /** What a thumb is led to. */
    val lead: List<View>,
    /** Everything else, in its order. */
    val rest: List<View>,
    /** Whether the rest stands close to the lead, as a pad does to its button. */
    val low: Boolean = false,
)

/** Puts the parts of a screen where they belong, whichever way the phone is held. */
fun Look.frame(parts: Parts): View {
    val whole = LinearLayout(context).apply {
        setBackgroundColor(colour(R.color.paper))
        fitsSystemWindows = true
    }
    when (shape) {
        Look.Shape.Tall -> {
            whole.orientation = LinearLayout.VERTICAL
            whole.addView(column(parts.top), wide())
            whole.addView(scrolled(parts.rest, parts.low), filling(vertical = true))
            whole.addView(column(parts.lead), wide())
        }
        Look.Shape.Wide -> {
            whole.orientation = LinearLayout.HORIZONTAL
            whole.addView(scrolled(parts.top + parts.lead, low = false), filling(vertical = false))
            whole.addView(scrolled(parts.rest, low = false), filling(vertical = false))
        }
        // Large letters leave no room for anything that stays in its place.
        Look.Shape.TallLarge -> {
            val order = if (parts.low) parts.top + parts.rest + parts.lead else parts.top + parts.lead + parts.rest
            whole.addView(scrolled(order, low = false), filling(vertical = false))
        }
    }
    return whole
}

/** Views below each other, far enough apart for a gloved finger. */
fun Look.column(views: List<View>): LinearLayout =
    LinearLayout(context).apply {
        orientation = LinearLayout.VERTICAL
        val side = dp(Look.MARGIN)
        setPaddingRelative(side, dp(Look.GAP) / 2, side, dp(Look.GAP) / 2)
        for (view in views) addView(view, wide().apply { setMargins(0, dp(Look.GAP) / 2, 0, dp(Look.GAP) / 2) })
    }

/** Two things beside each other, the second one wider; below each other where letters are large. */
fun Look.pair(first: View, second: View): View =
    LinearLayout(context).apply {
        if (shape == Look.Shape.TallLarge) {
            orientation = LinearLayout.VERTICAL
            addView(second, wide())
            addView(first, wide().apply { topMargin = dp(Look.GAP) })
        } else {
            addView(first, LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.MATCH_PARENT, 1f))
            val place = LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.WRAP_CONTENT, 2f)
            addView(second, place.apply { marginStart = dp(Look.GAP) })
        }
    }

private fun Look.scrolled(views: List<View>, low: Boolean): View =
    ScrollView(context).apply {
        isFillViewport = true
        // A thing that is only half seen says by itself that there is more.
        isVerticalScrollBarEnabled = true
        isScrollbarFadingEnabled = false
        addView(column(views).apply { gravity = if (low) Gravity.BOTTOM else Gravity.TOP })
    }

private fun wide() =
    LinearLayout.LayoutParams(LinearLayout.LayoutParams.MATCH_PARENT, LinearLayout.LayoutParams.WRAP_CONTENT)

private fun filling(vertical: Boolean) =
    if (vertical) {
        LinearLayout.LayoutParams(LinearLayout.LayoutParams.MATCH_PARENT, 0, 1f)
    } else {
        LinearLayout.LayoutParams(0, LinearLayout.LayoutParams.MATCH_PARENT, 1f)
    }
