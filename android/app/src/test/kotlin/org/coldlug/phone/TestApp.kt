package org.coldlug.phone

import java.io.File
import java.nio.file.Files
import java.util.concurrent.ExecutorService
import java.util.concurrent.Executors
import java.util.concurrent.TimeUnit
import uniffi.coldlug_phone.Transport

/** The app on a copy of the ready folder, with a test's ports. */
class TestApp : App() {
    private val thread: ExecutorService = Executors.newSingleThreadExecutor()
    private val air: ExecutorService = Executors.newSingleThreadExecutor()
    private val folder: File by lazy { copied() }

    /** The way to the desk, as it is when the core is first asked something. */
    var way: Transport = NoWay()

    override fun ports() = Ports(folder, TestClock(), TestKeys(folder), way, thread, air)

    /** Waits until the core has answered everything that was asked so far, unless the desk is silent. */
    fun settle() {
        val silent = (way as? Silent)?.isSilent == true
        repeat(ROUNDS) {
            for (line in listOfNotNull(thread, air.takeUnless { silent })) line.submit {}.get(PATIENCE_S, TimeUnit.SECONDS)
            Screens.idle()
        }
    }

    private fun copied(): File {
        val ready = File(checkNotNull(System.getProperty("coldlug.folder")))
        check(File(ready, "seed").exists()) { "no ready folder at $ready" }
        val copy = Files.createTempDirectory("coldlug-phone").toFile()
        if (!empty) ready.copyRecursively(copy, overwrite = true)
        return copy
    }

    companion object {
        /** Whether the next app begins without anything. */
        var empty = false

        // A question may lead to another: a screen that comes back asks anew.
        private const val ROUNDS = 4
        private const val PATIENCE_S = 30L
    }
}
