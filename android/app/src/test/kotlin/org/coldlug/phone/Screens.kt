package org.coldlug.phone

import android.app.Activity
import android.graphics.Bitmap
import android.os.Looper
import android.os.SystemClock
import android.view.MotionEvent
import android.view.View
import androidx.test.platform.app.InstrumentationRegistry
import java.io.File
import org.robolectric.Robolectric
import org.robolectric.RuntimeEnvironment
import org.robolectric.Shadows.shadowOf
import org.robolectric.android.controller.ActivityController

/** Drives the app's real screens in a test; everything runs on the test (= main) thread. */
object Screens {
    private val dir = File(System.getProperty("screenshot.dir", "target/screenshots"))

    fun idle() = shadowOf(Looper.getMainLooper()).idle()

    /** Waits for the core, then for the screen. */
    fun settle() = (RuntimeEnvironment.getApplication() as TestApp).settle()

    /** Waits for what comes of itself: a change told on the core's own thread. */
    fun until(said: () -> String, holds: () -> Boolean) {
        repeat(TRIES) {
            settle()
            if (holds()) return
            Thread.sleep(PAUSE_MS)
        }
        error(said())
    }

    fun <A : Activity> open(c: Class<A>): ActivityController<A> = Robolectric.buildActivity(c).setup().also { settle() }

    /** The activity that the last click asked for (Robolectric records the intent, it starts nothing by itself). */
    fun follow(from: Activity): ActivityController<out Activity> {
        val intent = shadowOf(from).nextStartedActivity ?: error("nothing was started from $from")
        val c = Class.forName(intent.component!!.className).asSubclass(Activity::class.java)
        return Robolectric.buildActivity(c, intent).setup().also { settle() }
    }

    /** A real touch through the window stack, so that a covering dialog gets it instead. */
    fun tap(v: View) {
        val at = IntArray(2).also(v::getLocationOnScreen)
        val x = at[0] + v.width / 2f
        val y = at[1] + v.height / 2f
        val t = SystemClock.uptimeMillis()
        val ui = InstrumentationRegistry.getInstrumentation().uiAutomation
        ui.injectInputEvent(MotionEvent.obtain(t, t, MotionEvent.ACTION_DOWN, x, y, 0), true)
        ui.injectInputEvent(MotionEvent.obtain(t, t + 20, MotionEvent.ACTION_UP, x, y, 0), true)
        settle()
    }

    /** All windows of the started activities, dialogs too, with shadows (hardware renderer on the CPU). */
    fun shot(name: String): Bitmap {
        settle()
        val b = InstrumentationRegistry.getInstrumentation().uiAutomation.takeScreenshot() ?: error("native graphics is off")
        return save(b, name)
    }

    private const val TRIES = 100
    private const val PAUSE_MS = 20L

    private fun save(b: Bitmap, name: String): Bitmap {
        dir.mkdirs()
        File(dir, "$name.png").outputStream().use { b.compress(Bitmap.CompressFormat.PNG, 100, it) }
        return b
    }
}
