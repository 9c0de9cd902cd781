package org.coldlug.phone.look

import android.content.Context
import android.content.res.ColorStateList
import android.content.res.Configuration
import android.graphics.drawable.Drawable
import android.graphics.drawable.GradientDrawable
import android.graphics.drawable.RippleDrawable
import android.util.TypedValue
import android.view.View
import android.widget.TextView
import org.coldlug.phone.R
import uniffi.coldlug_phone.Sentence

/** Sizes, colours and texts as a screen draws them: for rubber gloves, in the sun and at night. */
class Look(val context: Context) {
    /** How large a text stands. Each grows with the size that the person has set. */
    enum class Size(val sp: Float) { Body(20f), Large(25f), Huge(31f) }

    /** How the parts of a screen stand, by its shape and the person's text size. */
    enum class Shape { Tall, Wide, TallLarge }

    val shape: Shape
        get() {
            val now = context.resources.configuration
            return when {
                now.orientation == Configuration.ORIENTATION_LANDSCAPE -> Shape.Wide
                now.fontScale > LARGE_FROM -> Shape.TallLarge
                else -> Shape.Tall
            }
        }

    /** Pixels of a length. */
    fun dp(length: Int): Int =
        TypedValue.applyDimension(
            TypedValue.COMPLEX_UNIT_DIP, length.toFloat(), context.resources.displayMetrics,
        ).toInt()

    /** Pixels of a length that grows with the text. */
    fun sp(length: Float): Int =
        TypedValue.applyDimension(
            TypedValue.COMPLEX_UNIT_SP, length, context.resources.displayMetrics,
        ).toInt()

    fun colour(id: Int): Int = context.getColor(id)

    /** A line of text, as the core said it. */
    fun line(said: Sentence, size: Size = Size.Body, bold: Boolean = false): TextView =
        line(said.text, size, bold).apply { if (said.spoken != said.text) contentDescription = said.spoken }

    /** A line that is a name or a number. */
    fun line(text: String, size: Size = Size.Body, bold: Boolean = false): TextView =
        TextView(context).apply {
            this.text = text
            textSize = size.sp
            setTextColor(colour(R.color.ink))
            if (bold) typeface = android.graphics.Typeface.DEFAULT_BOLD
            textAlignment = View.TEXT_ALIGNMENT_VIEW_START
            textDirection = View.TEXT_DIRECTION_LOCALE
        }

    /** The physical state, the most pressing line heavier than the others. */
    fun physical(lines: List<Sentence>): List<View> = lines.mapIndexed { at, line -> line(line, bold = at == 0) }

    /** A small heading over a group of lines. */
    fun heading(said: Sentence): TextView =
        line(said, Size.Body, bold = true).apply {
            isAccessibilityHeadingSince28()
            setPadding(0, dp(GAP), 0, 0)
        }

    /** A shape of ours, as large as the text beside it. */
    fun shape(mark: Int, colour: Int, size: Float): Drawable =
        checkNotNull(context.getDrawable(mark)).mutate().apply {
            setTint(colour)
            setBounds(0, 0, sp(size), sp(size))
        }

    /** A shape before a line. */
    fun TextView.leadBy(mark: Int, size: Size = Size.Body) {
        setCompoundDrawablesRelative(shape(mark, currentTextColor, size.sp), null, null, null)
        compoundDrawablePadding = dp(GAP + 2)
    }

    /** A filled face that answers a touch. */
    fun face(fill: Int, edge: Int): Drawable {
        val plate = GradientDrawable().apply {
            setColor(fill)
            setStroke(dp(EDGE), edge)
            cornerRadius = dp(CORNER).toFloat()
        }
        return RippleDrawable(ColorStateList.valueOf(colour(R.color.touch)), plate, null)
    }

    private fun TextView.isAccessibilityHeadingSince28() {
        if (android.os.Build.VERSION.SDK_INT >= android.os.Build.VERSION_CODES.P) isAccessibilityHeading = true
    }

    companion object {
        /** Between two things that can be touched. */
        const val GAP = 10
        /** From the screen's edge. */
        const val MARGIN = 16
        /** Least height of what can be touched by a gloved finger. */
        const val TARGET = 64
        private const val EDGE = 2
        private const val CORNER = 6
        private const val LARGE_FROM = 1.3f
    }
}
