package org.coldlug.phone.screen

import android.content.Context
import android.content.Intent
import android.os.Bundle
import android.view.View
import org.coldlug.phone.Opened
import org.coldlug.phone.Outcome
import org.coldlug.phone.Why
import org.coldlug.phone.ask.Answering
import org.coldlug.phone.ask.answering
import org.coldlug.phone.device.Shot
import org.coldlug.phone.look.Parts
import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Answer
import uniffi.coldlug_phone.Offer
import uniffi.coldlug_phone.Sentence

/**
 * One act: its questions one at a time, then its signing. What was typed stays when the phone is
 * turned or the app is put away.
 */
class ActActivity : CoreActivity<ActActivity.Put>() {
    /** The act as it is offered now; null: it has no place any more. */
    data class Put(val physical: Sentence?, val offer: Offer?)

    private val job: String get() = intent.getStringExtra(JOB).orEmpty()
    private val act: Act get() = Act.valueOf(intent.getStringExtra(ACT).orEmpty())
    private var answers = Answers()
    private var answering: Answering? = null
    private var why: Why? = null
    private var signing = false

    override fun onCreate(state: Bundle?) {
        super.onCreate(state)
        state?.let { answers = Answers.from(it) }
    }

    override fun onSaveInstanceState(state: Bundle) {
        super.onSaveInstanceState(state)
        keep()
        answers.save(state)
    }

    override fun question(opened: Opened): Put {
        val shown = opened.phone.screen(job, opened.person().orEmpty())
        return Put(shown.physical.firstOrNull(), shown.acts.firstOrNull { it.act == act })
    }

    override fun drawn(answer: Put): Parts {
        keep()
        val offer = answer.offer
        if (offer == null) {
            finish()
            return Parts(emptyList(), emptyList(), emptyList())
        }
        val page = ActPage(look, words, offer, answers)
        answering = page.ask()?.let { ask ->
            answering(ask, look, words, ::camera).also { it.values = answers[ask.field] }
        }
        val top = listOfNotNull(answer.physical?.let { look.line(it, bold = true) }, why?.let { look.trouble(it, words) })
        return page.parts(top, answering?.view, Keys())
    }

    /** What the keys of a page do. */
    inner class Keys : ActPage.Keys {
        override fun back() = onBackPressed()

        override fun next() = turn(answers.page + 1)

        override fun sign(offer: Offer) = signed(offer)
    }

    @Deprecated("The framework's own way back before Android 13")
    override fun onBackPressed() {
        if (answers.page > 0) turn(answers.page - 1) else finish()
    }

    private fun turn(page: Int) {
        keep()
        answering = null
        why = null
        answers.page = page
        redraw()
    }

    /** What stands on the page is remembered under its ask. */
    private fun keep() {
        answering?.let { answers.put(it.values) }
    }

    private fun signed(offer: Offer) {
        keep()
        // A second touch of a gloved finger is no second deed.
        if (signing) return
        signing = true
        val given = answers.given(offer)
        // Not dropped when the app is put away meanwhile: what is written is done.
        core.ask({ write(it, offer.act, given) }) { outcome ->
            signing = false
            when (outcome) {
                is Outcome.Done -> finish()
                is Outcome.NotDone -> refused(offer, outcome.why)
            }
        }
    }

    private fun write(opened: Opened, act: Act, given: List<Answer>) {
        val person = opened.person().orEmpty()
        val draft = opened.phone.draft(job, person, act, given)
        opened.phone.act(job, person, draft.statements)
    }

    private fun refused(offer: Offer, reason: Why) {
        val unfit = offer.asks.indexOfFirst { it.`field` == reason.field }
        answering = null
        why = reason
        if (unfit >= 0) answers.page = unfit
        redraw()
    }

    private fun camera() {
        keep()
        startActivityForResult(Shot(this).intent(), CAMERA)
    }

    @Deprecated("The framework's own way to ask another app")
    override fun onActivityResult(request: Int, result: Int, data: Intent?) {
        if (request != CAMERA || result != RESULT_OK) return
        val shot = Shot(this)
        asking({ it.phone.photo(job, shot.bytes()) }, otherwise = ::notKept) { hash ->
            answering = null
            answers.put(listOf(hash))
            redraw()
        }
    }

    private fun notKept(reason: Why) {
        why = reason
        redraw()
    }

    companion object {
        private const val JOB = "job"
        private const val ACT = "act"
        private const val CAMERA = 1

        fun of(context: Context, job: String, act: Act): Intent =
            Intent(context, ActActivity::class.java).putExtra(JOB, job).putExtra(ACT, act.name)
    }
}
