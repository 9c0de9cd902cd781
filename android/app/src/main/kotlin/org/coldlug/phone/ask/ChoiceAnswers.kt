package org.coldlug.phone.ask

import android.graphics.drawable.Drawable
import android.graphics.drawable.StateListDrawable
import android.view.View
import android.widget.CheckBox
import android.widget.CompoundButton
import android.widget.LinearLayout
import android.widget.RadioButton
import android.widget.RadioGroup
import org.coldlug.phone.R
import org.coldlug.phone.Words
import org.coldlug.phone.look.Look
import uniffi.coldlug_phone.Ask
import uniffi.coldlug_phone.Choice
import uniffi.coldlug_phone.Label

/** One of several. Nothing is chosen beforehand. */
class OneAnswer(look: Look, ask: Ask, private val of: List<Choice>) : Answering {
    private val buttons = of.map { choice(RadioButton(look.context), look, it, R.drawable.mark_disc, R.drawable.mark_ring) }
    private val group =
        RadioGroup(look.context).apply {
            contentDescription = ask.label.spoken
            buttons.forEach { addView(it, apart(look)) }
        }

    override val view: View = group

    override var values: List<String>
        get() = of.filterIndexed { at, _ -> buttons[at].isChecked }.map { it.value }
        set(value) = of.forEachIndexed { at, choice -> if (choice.value in value) group.check(buttons[at].id) }
}

/** Any of several. */
class SeveralAnswer(look: Look, private val of: List<Choice>) : Answering {
    private val boxes = of.map { choice(CheckBox(look.context), look, it, R.drawable.box_full, R.drawable.box_empty) }

    override val view: View =
        LinearLayout(look.context).apply {
            orientation = LinearLayout.VERTICAL
            boxes.forEach { addView(it, apart(look)) }
        }

    override var values: List<String>
        get() = of.filterIndexed { at, _ -> boxes[at].isChecked }.map { it.value }
        set(value) = of.forEachIndexed { at, choice -> boxes[at].isChecked = choice.value in value }
}

/** Yes and no, as the answers name them. */
internal fun yesNo(words: Words): List<Choice> =
    listOf(Choice("yes", words[Label.YES]), Choice("no", words[Label.NO]))

private fun <B : CompoundButton> choice(button: B, look: Look, of: Choice, on: Int, off: Int): B =
    button.apply {
        id = View.generateViewId()
        isSaveEnabled = false
        text = of.label.text
        if (of.label.spoken != of.label.text) contentDescription = of.label.spoken
        textSize = Look.Size.Body.sp
        setTextColor(look.colour(R.color.ink))
        textAlignment = View.TEXT_ALIGNMENT_VIEW_START
        background = look.face(look.colour(R.color.paper), look.colour(R.color.ink))
        buttonDrawable = null
        val shape = states(look, on, off)
        shape.setBounds(0, 0, look.sp(SHAPE_SP), look.sp(SHAPE_SP))
        setCompoundDrawablesRelative(shape, null, null, null)
        compoundDrawablePadding = look.dp(Look.MARGIN)
        minHeight = look.dp(Look.TARGET)
        minimumHeight = look.dp(Look.TARGET)
        val side = look.dp(Look.MARGIN)
        setPaddingRelative(side, look.dp(Look.GAP), side, look.dp(Look.GAP))
    }

private fun states(look: Look, on: Int, off: Int): Drawable =
    StateListDrawable().apply {
        val ink = look.colour(R.color.ink)
        addState(intArrayOf(android.R.attr.state_checked), look.shape(on, ink, SHAPE_SP))
        addState(intArrayOf(), look.shape(off, ink, SHAPE_SP))
    }

private fun apart(look: Look) =
    LinearLayout.LayoutParams(LinearLayout.LayoutParams.MATCH_PARENT, LinearLayout.LayoutParams.WRAP_CONTENT)
        .apply { setMargins(0, look.dp(Look.GAP) / 2, 0, look.dp(Look.GAP) / 2) }

private const val SHAPE_SP = 26f
