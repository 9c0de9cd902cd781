package org.coldlug.phone.look

import android.graphics.Canvas
import android.graphics.DashPathEffect
import android.graphics.Paint
import android.graphics.Path
import android.graphics.Typeface
import android.view.View
import org.coldlug.phone.R
import uniffi.coldlug_phone.Diagram
import uniffi.coldlug_phone.DiagramMark
import uniffi.coldlug_phone.Pen

/** A one-line diagram: the core's marks at the core's places, in one ink. It is read out as the core says it. */
class DiagramView(look: Look, private val diagram: Diagram) : View(look.context) {
    private val letters = diagram.marks.filterIsInstance<DiagramMark.Words>().minOfOrNull { it.size } ?: diagram.width
    private val path = Path()
    private val lines = Paint(Paint.ANTI_ALIAS_FLAG)
    private val words = Paint(Paint.ANTI_ALIAS_FLAG)
    private val scale: Float get() = width.toFloat() / diagram.width

    /** How large its smallest letters are drawn, in pixels. */
    val letterSize: Float get() = letters * scale

    init {
        contentDescription = diagram.spoken
        layoutDirection = LAYOUT_DIRECTION_LTR
        for (paint in listOf(lines, words)) paint.color = look.colour(R.color.ink)
    }

    /** As wide as there is room, whatever size letters are set to: no word of it is ever out of sight. */
    override fun onMeasure(widthSpec: Int, heightSpec: Int) {
        val width = MeasureSpec.getSize(widthSpec)
        setMeasuredDimension(width, width * diagram.height / diagram.width)
    }

    override fun onDraw(canvas: Canvas) {
        canvas.scale(scale, scale)
        for (mark in diagram.marks) draw(canvas, mark)
    }

    private fun draw(canvas: Canvas, mark: DiagramMark) =
        when (mark) {
            is DiagramMark.Line -> {
                path.moveTo(mark.start.x.toFloat(), mark.start.y.toFloat())
                path.lineTo(mark.end.x.toFloat(), mark.end.y.toFloat())
                drawn(canvas, mark.pen, solid = false)
            }
            is DiagramMark.Ring -> {
                path.addCircle(mark.at.x.toFloat(), mark.at.y.toFloat(), mark.radius.toFloat(), Path.Direction.CW)
                drawn(canvas, mark.pen, mark.solid)
            }
            is DiagramMark.Frame -> {
                val (left, top) = mark.at.x.toFloat() to mark.at.y.toFloat()
                path.addRect(left, top, left + mark.width, top + mark.height, Path.Direction.CW)
                drawn(canvas, mark.pen, mark.solid)
            }
            is DiagramMark.Words -> {
                words.textSize = mark.size.toFloat()
                words.typeface = if (mark.heavy) HEAVY else Typeface.MONOSPACE
                canvas.drawText(mark.text, mark.at.x.toFloat(), mark.at.y.toFloat(), words)
            }
        }

    /** Draws what is on the path, and takes it off. */
    private fun drawn(canvas: Canvas, pen: Pen, solid: Boolean) {
        lines.style = if (solid) Paint.Style.FILL else Paint.Style.STROKE
        lines.strokeWidth = pen.width.toFloat()
        lines.strokeCap = if (pen.round) Paint.Cap.ROUND else Paint.Cap.BUTT
        lines.pathEffect = pen.dash?.toFloat()?.let { DashPathEffect(floatArrayOf(it, it), 0f) }
        canvas.drawPath(path, lines)
        path.rewind()
    }

    private companion object {
        val HEAVY: Typeface = Typeface.create(Typeface.MONOSPACE, Typeface.BOLD)
    }
}
