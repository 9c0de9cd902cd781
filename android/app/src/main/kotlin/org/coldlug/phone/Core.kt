package org.coldlug.phone

import android.os.Handler
import android.os.Looper
import java.util.concurrent.Executor
import uniffi.coldlug_phone.InternalException
import uniffi.coldlug_phone.Observer
import uniffi.coldlug_phone.Phone
import uniffi.coldlug_phone.PhoneException
import uniffi.coldlug_phone.Watch

/**
 * The core, called on one thread of its own, and on a second one for what talks to the desk. Whoever
 * asks is answered on the main thread, unless they have stopped listening by then.
 */
class Core(private val ports: Ports) {
    private val main = Handler(Looper.getMainLooper())
    private val ears = LinkedHashSet<() -> Unit>()
    private var phone: Phone? = null
    private var words: Words? = null
    private var watch: Watch? = null

    /** A question under way. */
    class Asked {
        @Volatile internal var dropped = false

        /** The answer is not wanted any more. What was written stays written. */
        fun drop() {
            dropped = true
        }
    }

    /** Asks the core something. */
    fun <T> ask(question: (Opened) -> T, then: (Outcome<T>) -> Unit): Asked = asked(ports.thread, question, then)

    /**
     * Asks what talks to the desk. That takes as long as the air takes, and holds nothing else up:
     * screens are drawn and acts are written meanwhile.
     */
    fun <T> talk(question: (Opened) -> T, then: (Outcome<T>) -> Unit): Asked = asked(ports.air, question, then)

    private fun <T> asked(on: Executor, question: (Opened) -> T, then: (Outcome<T>) -> Unit): Asked {
        val asked = Asked()
        on.execute {
            val outcome = answered(question)
            main.post { if (!asked.dropped) then(outcome) }
        }
        return asked
    }

    /** Calls an ear on the main thread after every change, until [unhear]. */
    fun hear(ear: () -> Unit) {
        ears.add(ear)
    }

    /** Ends [hear]. */
    fun unhear(ear: () -> Unit) {
        ears.remove(ear)
    }

    /** Lets go of the store. */
    fun sleep() = ports.thread.execute { answered { it.phone.suspend() } }

    /** Takes the store up again. */
    fun wake() = ports.thread.execute { answered { it.phone.resume() } }

    private fun <T> answered(question: (Opened) -> T): Outcome<T> =
        try {
            Outcome.Done(question(opened()))
        } catch (trouble: PhoneException) {
            notDone(trouble)
        } catch (bug: InternalException) {
            notDone(bug)
        }

    /** One phone, whichever thread asks first. */
    @Synchronized
    private fun opened(): Opened {
        val phone = phone ?: open().also { phone = it }
        val words = words ?: Words(phone.labels()).also { words = it }
        return Opened(phone, words, ports.transport)
    }

    private fun open(): Phone {
        val opened = Phone.open(ports.folder.path, ports.clock, ports.keys)
        watch = opened.watch(Ear())
        return opened
    }

    private inner class Ear : Observer {
        override fun changed(revision: ULong) {
            main.post { ears.toList().forEach { it() } }
        }
    }
}
