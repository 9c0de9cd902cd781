package org.coldlug.phone.screen

import android.app.Activity
import org.coldlug.phone.App
import org.coldlug.phone.Core
import org.coldlug.phone.Opened
import org.coldlug.phone.Outcome
import org.coldlug.phone.Why
import org.coldlug.phone.Words
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.Parts
import org.coldlug.phone.look.frame

/** A screen that asks the core one question and draws the answer. */
abstract class CoreActivity<T : Any> : Activity() {
    protected val look: Look by lazy { Look(this) }
    protected val core: Core get() = (application as App).core

    /** What stands on our own keys; there from the first answer on. */
    protected lateinit var words: Words
    private val ear = { load() }
    private val asked = ArrayList<Core.Asked>()
    private var drawn: T? = null

    /** Asked on the core's thread. */
    protected abstract fun question(opened: Opened): T

    /** Drawn on the main thread. */
    protected abstract fun drawn(answer: T): Parts

    override fun onStart() {
        super.onStart()
        core.hear(ear)
        load()
    }

    override fun onStop() {
        core.unhear(ear)
        asked.forEach(Core.Asked::drop)
        asked.clear()
        super.onStop()
    }

    /** Asks anew, and draws what has changed. */
    protected fun load() = asking({ question(it) }) { if (it != drawn) draw(it) }

    /** Draws the last answer again. */
    protected fun redraw() {
        drawn?.let(::draw)
    }

    private fun draw(answer: T) {
        drawn = answer
        show(drawn(answer))
    }

    /** Asks something; a reason why not is drawn in place of the screen unless [otherwise] takes it. */
    protected fun <A> asking(question: (Opened) -> A, otherwise: (Why) -> Unit = ::showTrouble, then: (A) -> Unit) {
        val whole = { opened: Opened -> opened.words to question(opened) }
        asked += core.ask(whole) { outcome ->
            when (outcome) {
                is Outcome.Done -> {
                    words = outcome.value.first
                    then(outcome.value.second)
                }
                is Outcome.NotDone -> otherwise(outcome.why)
            }
        }
    }

    private fun show(parts: Parts) = setContentView(look.frame(parts))

    private fun showTrouble(why: Why) {
        drawn = null
        val said = if (::words.isInitialized) words else null
        show(Parts(top = listOf(look.trouble(why, said)), lead = emptyList(), rest = emptyList()))
    }
}
