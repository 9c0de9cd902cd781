package org.coldlug.phone.ask

import android.view.View
import org.coldlug.phone.Words
import org.coldlug.phone.look.Look
import uniffi.coldlug_phone.Ask
import uniffi.coldlug_phone.AskKind

/** How one ask is answered on the screen. */
interface Answering {
    /** What is drawn. */
    val view: View

    /** The answer as typed or chosen: one value, several, or none. */
    var values: List<String>
}

/** The way to answer an ask. A picture is taken by [camera], which calls back when it is kept. */
fun answering(ask: Ask, look: Look, words: Words, camera: () -> Unit): Answering =
    when (val kind = ask.kind) {
        is AskKind.Number -> NumberAnswer(look, words, ask, kind)
        is AskKind.Text -> TextAnswer(look, ask)
        is AskKind.One -> OneAnswer(look, ask, kind.of)
        is AskKind.Several -> SeveralAnswer(look, kind.of)
        is AskKind.YesNo -> OneAnswer(look, ask, yesNo(words))
        is AskKind.Photo -> PhotoAnswer(look, words, camera)
    }
