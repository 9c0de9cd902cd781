package org.coldlug.phone

import android.provider.Settings
import java.io.File
import org.coldlug.phone.device.DeviceClock
import org.coldlug.phone.device.SeedFile
import org.coldlug.phone.device.Wrapping
import org.coldlug.phone.screen.JobsActivity
import org.junit.Assert.assertArrayEquals
import org.junit.Assert.assertEquals
import org.junit.Assert.assertFalse
import org.junit.Assert.assertNotEquals
import org.junit.Assert.assertNull
import org.junit.Assert.assertThrows
import org.junit.Assert.assertTrue
import org.junit.Rule
import org.junit.Test
import org.junit.rules.TemporaryFolder
import org.junit.runner.RunWith
import org.robolectric.RobolectricTestRunner
import org.robolectric.RuntimeEnvironment
import uniffi.coldlug_phone.PortException

/** What the device gives the core. The key store's own wrapping needs a device: a plain one stands in. */
@RunWith(RobolectricTestRunner::class)
class DeviceTest {
    @get:Rule val folder = TemporaryFolder()

    /** A test's wrapping: turns every bit. It protects nothing. */
    private class Turned : Wrapping {
        override fun wrap(plain: ByteArray) = plain.map { (it.toInt() xor -1).toByte() }.toByteArray()

        override fun unwrap(wrapped: ByteArray) = wrap(wrapped)
    }

    /** A wrapping whose key is gone. */
    private class Gone : Wrapping {
        override fun wrap(plain: ByteArray) = error("gone")

        override fun unwrap(wrapped: ByteArray) = error("gone")
    }

    @Test
    fun a_seed_is_kept_wrapped_and_comes_back() {
        val file = File(folder.root, "seed")
        val seed = ByteArray(32) { it.toByte() }
        assertNull(SeedFile(file, Turned()).seed())
        SeedFile(file, Turned()).keep(seed)
        assertFalse(seed.contentEquals(file.readBytes()))
        assertArrayEquals(seed, SeedFile(file, Turned()).seed())
        assertEquals(listOf("seed"), folder.root.list()?.toList())
    }

    @Test
    fun a_seed_that_cannot_be_read_is_a_failure_and_not_no_seed() {
        val file = File(folder.root, "seed").apply { writeText("x") }
        assertThrows(PortException::class.java) { SeedFile(file, Gone()).seed() }
        assertThrows(PortException::class.java) { SeedFile(file, Gone()).keep(ByteArray(32)) }
        assertEquals("x", file.readText())
    }

    @Test
    fun chance_does_not_repeat() {
        val keys = SeedFile(File(folder.root, "seed"), Turned())
        assertFalse(keys.random(32u).contentEquals(keys.random(32u)))
    }

    @Test
    fun a_boot_is_told_by_its_count_and_without_one_by_the_start_of_the_app() {
        val app = RuntimeEnvironment.getApplication()
        Settings.Global.putInt(app.contentResolver, Settings.Global.BOOT_COUNT, 41)
        assertEquals("41", DeviceClock(app).now().boot)
        Settings.Global.putInt(app.contentResolver, Settings.Global.BOOT_COUNT, 0)
        val clock = DeviceClock(app)
        assertEquals(clock.now().boot, clock.now().boot)
        assertNotEquals(clock.now().boot, DeviceClock(app).now().boot)
    }

    @Test
    fun a_phone_that_is_not_enrolled_asks_for_an_invitation_and_says_what_is_none() {
        TestApp.empty = true
        try {
            val first = Screens.open(JobsActivity::class.java).get()
            Screens.tap(Tree.button(first, "Enrol this phone"))
            assertTrue("${Tree.words(first)}", Tree.words(first).any { "no invitation" in it })
        } finally {
            TestApp.empty = false
        }
    }
}
