package org.coldlug.phone

import android.app.Application
import java.io.File
import java.util.concurrent.Executors
import org.coldlug.phone.device.DeviceClock
import org.coldlug.phone.device.HttpTransport
import org.coldlug.phone.device.KeystoreWrapping
import org.coldlug.phone.device.SeedFile

/** The app: one core for all its screens. */
open class App : Application() {
    /** Opened when a screen first asks something of it. */
    val core: Core by lazy { Core(ports()) }

    /** What this device gives the core. A test gives its own. */
    protected open fun ports(): Ports =
        Ports(
            folder = File(filesDir, "phone"),
            clock = DeviceClock(this),
            keys = SeedFile(File(filesDir, "seed"), KeystoreWrapping()),
            transport = HttpTransport(),
            thread = Executors.newSingleThreadExecutor { Thread(it, "coldlug-core") },
            air = Executors.newSingleThreadExecutor { Thread(it, "coldlug-desk") },
        )

    override fun onCreate() {
        super.onCreate()
        registerActivityLifecycleCallbacks(Awake(this))
    }
}
