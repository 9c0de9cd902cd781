package org.coldlug.phone.screen

import android.view.View

/** Stands for what a screen is about where nothing is drawn of it yet but its physical state, headline and acts. */
object NotYetDrawn {
    fun lines(): List<View> = emptyList()
}
