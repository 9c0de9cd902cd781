package org.coldlug.phone

import android.app.Activity
import android.graphics.Rect
import android.view.View
import android.view.ViewGroup
import android.widget.TextView

/** The views of a screen, as a finger or an eye meets them. */
object Tree {
    /** Every view that is drawn. */
    fun of(activity: Activity): List<View> = below(checkNotNull(activity.findViewById<View>(android.R.id.content)))

    /** What can be touched. */
    fun touchable(activity: Activity): List<View> = of(activity).filter { it.isClickable && it.isEnabled }

    /** The one view whose words hold [words]. */
    fun saying(activity: Activity, words: String): View =
        of(activity).filterIsInstance<TextView>().firstOrNull { words in it.text }
            ?: error("nothing says '$words': ${words(activity)}")

    /** Everything that is written on the screen, in reading order. */
    fun words(activity: Activity): List<String> =
        of(activity).filterIsInstance<TextView>().map { it.text.toString() }.filter { it.isNotEmpty() }

    /** Where a view lies on the screen, what is scrolled away included. */
    fun place(view: View): Rect {
        val at = IntArray(2).also(view::getLocationOnScreen)
        return Rect(at[0], at[1], at[0] + view.width, at[1] + view.height)
    }

    /** The part of a view that is not scrolled away; null: nothing. */
    fun seen(view: View): Rect? = Rect().takeIf(view::getGlobalVisibleRect)

    /** The thing to touch whose words hold [words]. */
    fun button(activity: Activity, words: String): View =
        touchable(activity).filterIsInstance<TextView>().firstOrNull { words in it.text }
            ?: error("nothing to touch says '$words': ${words(activity)}")

    private fun below(view: View): List<View> {
        if (view.visibility != View.VISIBLE) return emptyList()
        val inner = (view as? ViewGroup)?.let { group -> (0 until group.childCount).mapNotNull(group::getChildAt) }
        return listOf(view) + inner.orEmpty().flatMap(::below)
    }
}
