package org.coldlug.phone.device

import android.content.Context
import android.os.SystemClock
import android.provider.Settings
import java.util.UUID
import uniffi.coldlug_phone.Clock
import uniffi.coldlug_phone.Moment

/** The device's clocks: the wall's, and the one that counts since boot, sleep included. */
class DeviceClock(private val context: Context) : Clock {
    // Where the count of boots cannot be read, every start of the app counts as a boot: a reading
    // then grows stale too early, never too late.
    private val unknown = UUID.randomUUID().toString()

    override fun now(): Moment {
        val boots = Settings.Global.getInt(context.contentResolver, Settings.Global.BOOT_COUNT, 0)
        val boot = if (boots > 0) boots.toString() else unknown
        return Moment(System.currentTimeMillis(), boot, SystemClock.elapsedRealtime())
    }
}
