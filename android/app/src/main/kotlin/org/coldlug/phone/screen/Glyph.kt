package org.coldlug.phone.screen

import org.coldlug.phone.R
import uniffi.coldlug_phone.Deed

/** What kind of deed an act is, as a shape before its words. */
fun glyph(deed: Deed): Int =
    when (deed) {
        Deed.LOOK -> R.drawable.act_eye
        Deed.MEASURE -> R.drawable.act_needle
        Deed.HAND -> R.drawable.act_hand
        Deed.WORD -> R.drawable.act_pen
        Deed.STOP -> R.drawable.act_stop
    }
