package org.coldlug.phone.screen

import android.view.View
import android.widget.LinearLayout
import org.coldlug.phone.Why
import org.coldlug.phone.Words
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Mark
import org.coldlug.phone.look.band
import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Sentence

/** Why nothing was written: said at once, and read out at once. */
fun Look.trouble(why: Why, words: Words?): View =
    LinearLayout(context).apply {
        orientation = LinearLayout.VERTICAL
        accessibilityLiveRegion = View.ACCESSIBILITY_LIVE_REGION_ASSERTIVE
        addView(band(headed(words?.get(Label.NOT_DONE), why.said), Mark.Bar))
        for (name in why.which) addView(line(name))
    }

private fun headed(heading: Sentence?, said: Sentence): Sentence =
    if (heading == null) said else Sentence(said.id, "${heading.text}\n${said.text}", "${heading.spoken}. ${said.spoken}")
