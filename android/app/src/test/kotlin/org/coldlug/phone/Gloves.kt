package org.coldlug.phone

import android.app.Activity
import android.graphics.Bitmap
import android.graphics.Color
import android.graphics.Rect
import android.util.TypedValue
import android.view.View
import android.widget.EditText
import android.widget.TextView
import org.coldlug.phone.look.DiagramView
import org.junit.Assert.assertTrue

/** What must hold of every screen for somebody in rubber gloves, in full sun, or who hears it read out. */
class Gloves(private val activity: Activity) {
    private val metrics = checkNotNull(activity.resources).displayMetrics

    /** All of it. The picture is of this screen. */
    fun check(picture: Bitmap) {
        val wrong = tooSmall() + tooNear() + nameless() + smallPrint() + cutOff() + faint(picture)
        assertTrue(wrong.joinToString("\n", prefix = "${Tree.words(activity)}\n"), wrong.isEmpty())
    }

    private fun dp(pixels: Int): Float = pixels / metrics.density

    private fun tooSmall(): List<String> =
        Tree.touchable(activity)
            .filter { dp(it.width) < TARGET_DP || dp(it.height) < TARGET_DP }
            .map { "${name(it)}: ${dp(it.width)} x ${dp(it.height)} dp" }

    private fun tooNear(): List<String> {
        val all = Tree.touchable(activity).mapNotNull { view -> Tree.seen(view)?.let { view to it } }
        return all.flatMapIndexed { at, (one, here) ->
            all.drop(at + 1)
                .filter { (_, there) -> dp(apart(here, there)) < GAP_DP }
                .map { (other, there) -> "${name(one)} and ${name(other)}: ${dp(apart(here, there))} dp apart" }
        }
    }

    /** Pixels between two places, along the axis that parts them most. */
    private fun apart(a: Rect, b: Rect): Int =
        maxOf(b.left - a.right, a.left - b.right, b.top - a.bottom, a.top - b.bottom)

    private fun nameless(): List<String> =
        Tree.touchable(activity).filter { spoken(it).isBlank() }.map { "something touchable has no name: $it" }

    private fun smallPrint(): List<String> {
        // A drawing is as wide as the screen whatever size is set; its words stand below it in that size.
        val drawings = Tree.of(activity).filterIsInstance<DiagramView>().map { it to it.letterSize / metrics.density }
        val all = texts().map { it to sp(it.textSize) } + drawings
        return all.filter { it.second < TEXT_SP }.map { "${name(it.first)}: ${it.second} sp" }
    }

    // Large letters grow less the larger they are, so one factor does not say it.
    private fun sp(pixels: Float): Float =
        TypedValue.convertPixelsToDimension(TypedValue.COMPLEX_UNIT_SP, pixels, metrics)

    /** Words that do not fit where they stand. */
    private fun cutOff(): List<String> =
        texts().filter { text ->
            val layout = text.layout
            val room = text.height - text.compoundPaddingTop - text.compoundPaddingBottom
            layout != null && (layout.height > room + 1 || (0 until layout.lineCount).any { layout.getEllipsisCount(it) > 0 })
        }.map { "${name(it)}: cut off" }

    /** Words whose drawn ink stands too little out of what is drawn around it. */
    private fun faint(picture: Bitmap): List<String> =
        texts().mapNotNull { text ->
            val seen = Rect()
            val whole = text.getGlobalVisibleRect(seen) && seen.height() == text.height
            val contrast = if (whole) contrast(picture, seen) else null
            if (contrast == null || contrast >= CONTRAST) null else "${name(text)}: contrast $contrast"
        }

    /** Between the commonest colour and the one farthest from it, whatever was meant to be drawn. */
    private fun contrast(picture: Bitmap, place: Rect): Double? {
        val counts = HashMap<Int, Int>()
        for (y in place.top until minOf(place.bottom, picture.height)) {
            for (x in place.left until minOf(place.right, picture.width)) counts.merge(picture.getPixel(x, y), 1, Int::plus)
        }
        val field = counts.maxByOrNull { it.value }?.key ?: return null
        return counts.filter { it.value >= SEEN_PIXELS }.keys.maxOf { ratio(it, field) }
    }

    private fun ratio(a: Int, b: Int): Double {
        val (light, dark) = listOf(Color.luminance(a), Color.luminance(b)).sortedDescending()
        return (light + FLARE) / (dark + FLARE)
    }

    private fun texts(): List<TextView> =
        Tree.of(activity).filterIsInstance<TextView>().filter { it.text.isNotEmpty() && it !is EditText }

    private fun spoken(view: View): String =
        view.contentDescription?.toString() ?: (view as? TextView)?.text?.toString().orEmpty()

    private fun name(view: View): String = "'${spoken(view).take(NAME)}'"

    private companion object {
        const val TARGET_DP = 56f
        const val GAP_DP = 8f
        const val TEXT_SP = 18f
        const val CONTRAST = 7.0
        const val FLARE = 0.05
        const val SEEN_PIXELS = 4
        const val NAME = 40
    }
}
