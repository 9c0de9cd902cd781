package org.coldlug.phone

import android.app.Activity
import android.os.Bundle
import android.widget.ScrollView
import org.coldlug.phone.look.Look
import org.coldlug.phone.look.frame
import org.coldlug.phone.screen.ActActivity
import org.coldlug.phone.screen.JobActivity
import org.coldlug.phone.screen.JobScreen
import org.coldlug.phone.screen.JobsActivity
import org.coldlug.phone.screen.PageActivity
import org.coldlug.phone.screen.PageScreen
import org.junit.Test
import org.junit.runner.RunWith
import org.robolectric.ParameterizedRobolectricTestRunner
import org.robolectric.Robolectric
import org.robolectric.RuntimeEnvironment
import uniffi.coldlug_phone.Act
import uniffi.coldlug_phone.Page
import uniffi.coldlug_phone.Tone
import uniffi.coldlug_phone.VerdictName

/** Every screen by day, by night, held wide and in large letters: drawn, kept as a picture, and measured. */
@RunWith(ParameterizedRobolectricTestRunner::class)
class PictureTest(private val light: Light) {
    private val app get() = RuntimeEnvironment.getApplication() as TestApp

    @Test
    fun jobs() = picture("jobs", opened(android.content.Intent(app, JobsActivity::class.java)))

    @Test
    fun ledger() = picture("ledger", opened(JobActivity.of(app, JOB)))

    @Test
    fun plan() = picture("plan", opened(PageActivity.of(app, JOB, Page.PLAN)))

    @Test
    fun fault_current() = picture("fault-current", opened(PageActivity.of(app, JOB, Page.FAULT_CURRENT)))

    @Test
    fun choice() = picture("choice", opened(ActActivity.of(app, JOB, Act.TAKE_FIX)))

    @Test
    fun number() {
        val entry = opened(ActActivity.of(app, JOB, Act.TAKE_FIX))
        for (words in listOf("P1", "Next", "6", "1", ".", "5")) press(entry, words)
        picture("number", entry)
    }

    @Test
    fun check() {
        val entry = opened(ActActivity.of(app, JOB, Act.TAKE_FIX))
        for (words in listOf("P1", "Next", "6", "1", "Next", "Next", "Next")) press(entry, words)
        picture("check", entry)
    }

    @Test
    fun refused() {
        val deed = opened(ActActivity.of(app, JOB, Act.CLOSE))
        press(deed, "Close the job")
        picture("refused", deed)
    }

    @Test
    fun contradicted() = made("contradicted", VerdictName.CONTRADICTED, Tone.STOP, "Contradicted: the map is wrong here. Open nothing.")

    @Test
    fun identified() = made("identified", VerdictName.IDENTIFIED, Tone.GO, "Identified: P-2207 position 2 feeds S-118.")

    /** What stands below the drawing, and the drawing itself in every pen there is. */
    @Test
    fun plan_below() {
        val page = opened(PageActivity.of(app, JOB, Page.PLAN))
        val below = Tree.saying(page, "Isolation plan")
        Tree.of(page).filterIsInstance<ScrollView>().last().scrollTo(0, below.top)
        picture("plan-below", page)
    }

    @Test
    fun every_pen() {
        light.put()
        val (words, bare) = words() to Robolectric.buildActivity(Bare::class.java).setup().get()
        val look = Look(bare)
        bare.setContentView(look.frame(PageScreen(look, words, {}) {}.parts(Made.opened())))
        picture("every-pen", bare)
    }

    private fun made(name: String, verdict: VerdictName, tone: Tone, headline: String) {
        light.put()
        val (words, bare) = words() to Robolectric.buildActivity(Bare::class.java).setup().get()
        val look = Look(bare)
        val shown = Made.ledger(verdict, tone, headline)
        bare.setContentView(look.frame(JobScreen(look, words, {}, {}, {}).parts(shown)))
        picture(name, bare)
    }

    private fun words(): Words {
        var words: Words? = null
        app.core.ask({ it.words }) { words = (it as Outcome.Done).value }
        app.settle()
        return checkNotNull(words)
    }

    private fun opened(intent: android.content.Intent): Activity {
        light.put()
        val c = Class.forName(intent.component!!.className).asSubclass(Activity::class.java)
        return Robolectric.buildActivity(c, intent).setup().get().also { app.settle() }
    }

    private fun press(on: Activity, words: String) {
        Tree.button(on, words).performClick()
        app.settle()
    }

    private fun picture(name: String, activity: Activity) {
        val drawn = Screens.shot("$name-${light.name.lowercase()}")
        Gloves(activity).check(drawn)
    }

    companion object {
        private const val JOB = "J-0417"

        @JvmStatic
        @ParameterizedRobolectricTestRunner.Parameters(name = "{0}")
        fun lights(): List<Array<Any>> = Light.entries.map { arrayOf(it) }
    }

    /** A screen of nothing but what a test puts on it. */
    class Bare : Activity() {
        override fun onCreate(state: Bundle?) {
            setTheme(R.style.Coldlug)
            super.onCreate(state)
        }
    }
}
