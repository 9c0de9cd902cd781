package org.coldlug.phone

import android.app.Activity
import android.widget.TextView
import org.coldlug.phone.look.DiagramView
import org.coldlug.phone.screen.JobActivity
import org.coldlug.phone.screen.JobsActivity
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertTrue
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.Robolectric
import org.robolectric.RobolectricTestRunner
import org.robolectric.RuntimeEnvironment
import org.robolectric.android.controller.ActivityController

/** From the list of jobs to a reading on record, by touches, on the real core and its store. */
@RunWith(RobolectricTestRunner::class)
class PathTest {
    private val app get() = RuntimeEnvironment.getApplication() as TestApp

    @Test
    fun from_the_list_to_a_settled_stay() {
        val list = Screens.open(JobsActivity::class.java).get()
        assertEquals("Nothing of ours is open.", Tree.words(list).first().lines().first())
        val job = touch(list, JOB).get()
        assertTrue(job is JobActivity)
        assertEquals("Nothing of ours is open.", Tree.words(job).first())
        val verdict = Tree.place(Tree.saying(job, "Unsettled"))
        assertTrue(Tree.touchable(job).all { Tree.place(it).top >= verdict.bottom })

        val before = written()
        val stay = touch(job, "Go to the premises").get()
        Screens.tap(Tree.button(stay, "I am at the premises"))
        assertTrue("done, so the screen goes: ${Tree.words(stay)}", stay.isFinishing)
        // The job's screen heard of it and shows the next test.
        Screens.until({ "${Tree.words(job)}" }) { Tree.words(job).none { "Go to the premises" in it } }
        assertEquals(before + 1, written())
    }

    @Test
    fun the_plan_is_drawn_and_read_out_and_leads_back() {
        val job = Robolectric.buildActivity(JobActivity::class.java, JobActivity.of(app, JOB)).setup().get()
        app.settle()
        Tree.button(job, "The plan, drawn").performClick()
        val page = Screens.follow(job).get()
        val drawing = Tree.of(page).filterIsInstance<DiagramView>().single()
        val read = checkNotNull(drawing.contentDescription).lines()
        assertTrue("$read", "the work zone is live" in read.first())
        assertTrue("$read", read.any { it.startsWith("feeder") && it.endsWith("live") })
        assertTrue("${Tree.words(page)}", "Isolation plan" in Tree.words(page))
        Tree.button(page, "Back").performClick()
        assertTrue(page.isFinishing)
    }

    @Test
    fun a_reading_is_typed_on_our_pad_checked_and_kept() {
        val before = written()
        val entry = act("Take a position fix")
        Screens.tap(Tree.button(entry.get(), "P1"))
        Screens.tap(Tree.button(entry.get(), "Next"))
        type(entry.get(), "61.55")
        Screens.tap(Tree.button(entry.get(), "⌫"))
        Screens.tap(Tree.button(entry.get(), "−"))
        assertEquals("-61.5", figure(entry.get()))
        Screens.tap(Tree.button(entry.get(), "Next"))
        type(entry.get(), "14.6")
        Screens.tap(Tree.button(entry.get(), "Next"))
        type(entry.get(), "5")
        Screens.tap(Tree.button(entry.get(), "Next"))
        assertTrue("-61.5 °" in Tree.words(entry.get()))
        Screens.tap(Tree.button(entry.get(), "Take a position fix"))
        assertTrue("${Tree.words(entry.get())}", entry.get().isFinishing)
        assertEquals(before + 1, written())
    }

    @Test
    fun what_was_typed_outlives_a_turned_phone_and_the_app_put_away() {
        val entry = act("Take a position fix")
        Screens.tap(Tree.button(entry.get(), "P2"))
        Screens.tap(Tree.button(entry.get(), "Next"))
        type(entry.get(), "7.25")
        entry.recreate()
        app.settle()
        assertEquals("7.25", figure(entry.get()))
        entry.pause().stop()
        app.settle()
        entry.restart().start().resume()
        app.settle()
        assertEquals("7.25", figure(entry.get()))
        Screens.tap(Tree.button(entry.get(), "Back"))
        val chosen = Tree.touchable(entry.get()).filterIsInstance<android.widget.RadioButton>().single { it.isChecked }
        assertEquals("P2", chosen.text.toString())
    }

    @Test
    fun a_refusal_is_said_and_nothing_is_written() {
        val before = written()
        val deed = act("Close the job")
        Screens.tap(Tree.button(deed.get(), "Close the job"))
        assertFalse(deed.get().isFinishing)
        assertTrue("${Tree.words(deed.get())}", Tree.words(deed.get()).any { it.startsWith("NOT DONE") })
        assertEquals(before, written())
    }

    @Test
    fun an_answer_that_does_not_fit_leads_back_to_its_question() {
        val entry = act("Take a position fix")
        repeat(ASKS) { Screens.tap(Tree.button(entry.get(), "Next")) }
        Screens.tap(Tree.button(entry.get(), "Take a position fix"))
        assertTrue("${Tree.words(entry.get())}", Tree.words(entry.get()).any { it.startsWith("NOT DONE") })
        assertTrue("P1" in Tree.words(entry.get()))
    }

    @Test
    fun without_a_way_to_the_desk_the_phone_says_so_and_goes_on() {
        val list = Screens.open(JobsActivity::class.java).get()
        Screens.tap(Tree.button(list, "Exchange with the desk"))
        assertTrue("${Tree.words(list)}", Tree.words(list).any { "cannot be reached" in it })
        assertTrue(Tree.words(list).any { JOB in it })
    }

    @Test
    fun a_silent_desk_holds_up_neither_a_screen_nor_an_act() {
        val silent = Silent().also { app.way = it }
        val list = Screens.open(JobsActivity::class.java)
        Screens.tap(Tree.button(list.get(), "Exchange with the desk"))
        try {
            assertTrue("the phone waits for the desk", silent.waitedFor())
            val before = written()
            val job = touch(list.get(), JOB).get()
            list.pause().stop()
            assertEquals("Nothing of ours is open.", Tree.words(job).first())
            val stay = touch(job, "Go to the premises").get()
            Screens.tap(Tree.button(stay, "I am at the premises"))
            assertTrue("${Tree.words(stay)}", stay.isFinishing)
            assertEquals(before + 1, written())
            assertTrue("the desk is still silent", silent.isSilent)
        } finally {
            silent.end()
        }
        // The list was out of sight when it came to nothing, and says so all the same.
        app.settle()
        list.restart().start().resume()
        app.settle()
        assertTrue("${Tree.words(list.get())}", Tree.words(list.get()).any { "cannot be reached" in it })
    }

    /** An act of the job, opened by its button. The list it stands in is long: it is not touched by place. */
    private fun act(words: String): ActivityController<out Activity> {
        val job = Robolectric.buildActivity(JobActivity::class.java, JobActivity.of(app, JOB)).setup().get()
        app.settle()
        Tree.button(job, words).performClick()
        return Screens.follow(job)
    }

    /** Touches what says [words], and gives the screen that opens. */
    private fun touch(on: Activity, words: String): ActivityController<out Activity> {
        Screens.tap(Tree.button(on, words))
        return Screens.follow(on)
    }

    private fun type(entry: Activity, number: String) = number.forEach { Screens.tap(Tree.button(entry, "$it")) }

    private fun figure(entry: Activity): String =
        checkNotNull(entry.findViewById<TextView>(R.id.figure)).text.toString()

    /** How many lines of this phone's are on the job's record: one for each of its entries, and a fixed few. */
    private fun written(): Int {
        var lines = 0
        app.core.ask({ String(it.phone.record(JOB)) }) { record ->
            lines = (record as Outcome.Done).value.lines().count { "\"device\":\"phone-a\"" in it && "\"seq\"" in it }
        }
        app.settle()
        return lines
    }

    private companion object {
        const val JOB = "J-0417"
        const val ASKS = 4
    }
}
