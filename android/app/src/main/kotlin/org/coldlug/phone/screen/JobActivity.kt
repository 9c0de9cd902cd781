package org.coldlug.phone.screen

import android.content.Context
import android.content.Intent
import org.coldlug.phone.Opened
import org.coldlug.phone.look.Parts
import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Page
import uniffi.coldlug_phone.Shown

/** The screen of one job, drawn anew after every change. */
class JobActivity : CoreActivity<Shown>() {
    private val job: String get() = intent.getStringExtra(JOB).orEmpty()

    override fun question(opened: Opened): Shown = opened.phone.screen(job, opened.person().orEmpty())

    override fun drawn(answer: Shown): Parts = JobScreen(look, words, ::open, ::read, ::finish).parts(answer)

    private fun open(act: Act) = startActivity(ActActivity.of(this, job, act))

    private fun read(page: Page) = startActivity(PageActivity.of(this, job, page))

    companion object {
        private const val JOB = "job"

        fun of(context: Context, job: String): Intent =
            Intent(context, JobActivity::class.java).putExtra(JOB, job)
    }
}
