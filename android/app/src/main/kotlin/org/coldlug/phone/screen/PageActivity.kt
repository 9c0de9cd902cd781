package org.coldlug.phone.screen

import android.content.Context
import android.content.Intent
import org.coldlug.phone.Opened
import org.coldlug.phone.look.Parts
import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Page
import uniffi.coldlug_phone.PageShown

/** A page of a job that is read, drawn anew after every change. */
class PageActivity : CoreActivity<PageShown>() {
    private val job: String get() = intent.getStringExtra(JOB).orEmpty()
    private val page: Page get() = Page.valueOf(intent.getStringExtra(PAGE).orEmpty())

    override fun question(opened: Opened): PageShown = opened.phone.page(job, opened.person().orEmpty(), page)

    override fun drawn(answer: PageShown): Parts = PageScreen(look, words, ::open, ::finish).parts(answer)

    private fun open(act: Act) = startActivity(ActActivity.of(this, job, act))

    companion object {
        private const val JOB = "job"
        private const val PAGE = "page"

        fun of(context: Context, job: String, page: Page): Intent =
            Intent(context, PageActivity::class.java).putExtra(JOB, job).putExtra(PAGE, page.name)
    }
}
