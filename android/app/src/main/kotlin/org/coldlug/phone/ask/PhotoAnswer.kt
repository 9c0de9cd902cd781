package org.coldlug.phone.ask

import android.view.View
import android.widget.LinearLayout
import android.widget.TextView
import org.coldlug.phone.R
import org.coldlug.phone.Words
import org.coldlug.phone.look.Buttons
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.column
import uniffi.coldlug_phone.Label

/** A picture taken now: the answer is the hash that keeping it gave. */
class PhotoAnswer(look: Look, private val words: Words, camera: () -> Unit) : Answering {
    private var hash: String? = null
    private val state: TextView = look.line("")

    override val view: View =
        LinearLayout(look.context).apply {
            orientation = LinearLayout.VERTICAL
            addView(look.column(listOf(state, Buttons(look).plain(words[Label.TAKE_PICTURE], R.drawable.act_eye, camera))))
        }

    override var values: List<String>
        get() = listOfNotNull(hash)
        set(value) {
            hash = value.firstOrNull()
            show()
        }

    init {
        show()
    }

    private fun show() {
        val said = words[if (hash == null) Label.EMPTY else Label.PICTURE_KEPT]
        state.text = said.text
        state.contentDescription = said.spoken
    }
}
