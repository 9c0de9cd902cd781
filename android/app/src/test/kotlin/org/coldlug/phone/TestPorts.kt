package org.coldlug.phone

import java.io.File
import java.util.concurrent.CountDownLatch
import java.util.concurrent.TimeUnit
import java.util.concurrent.atomic.AtomicLong
import uniffi.coldlug_phone.Clock
import uniffi.coldlug_phone.Keys
import uniffi.coldlug_phone.Moment
import uniffi.coldlug_phone.PortException
import uniffi.coldlug_phone.Reply
import uniffi.coldlug_phone.Transport

/** A clock for tests: every look at it is a second later, after everything the ready folder holds. */
class TestClock : Clock {
    private val looks = AtomicLong()

    override fun now(): Moment {
        val ms = (BEGIN_S + looks.incrementAndGet()) * MS
        return Moment(BEGIN_WALL_MS + ms, "phone-a/1", ms)
    }

    private companion object {
        const val BEGIN_S = 3600L
        const val BEGIN_WALL_MS = 1_790_000_000_000L
        const val MS = 1000L
    }
}

/** A test's own key store: the seed that lies beside a ready folder, in the open. It protects nothing. */
class TestKeys(private val folder: File) : Keys {
    override fun seed(): ByteArray? {
        val hex = File(folder, "seed").takeIf { it.exists() }?.readText() ?: return null
        return hex.chunked(2).map { it.toInt(radix = 16).toByte() }.toByteArray()
    }

    override fun keep(seed: ByteArray) {
        File(folder, "seed").writeText(seed.joinToString("") { "%02x".format(it) })
    }

    override fun random(count: UInt): ByteArray = ByteArray(count.toInt()) { 9 }
}

/** No way to the desk, as for most of a crew's day. */
class NoWay : Transport {
    override fun send(url: String, body: ByteArray): Reply = throw PortException.Failed("no way to the desk")
}

/** A desk that takes what is sent and says nothing, until the test ends it. */
class Silent : Transport {
    private val sent = CountDownLatch(1)
    private val ended = CountDownLatch(1)

    val isSilent: Boolean get() = ended.count > 0

    /** Waits until the phone waits for the desk's answer. */
    fun waitedFor(): Boolean = sent.await(PATIENCE_S, TimeUnit.SECONDS)

    /** From now on there is no way to the desk. */
    fun end() = ended.countDown()

    override fun send(url: String, body: ByteArray): Reply {
        sent.countDown()
        ended.await()
        throw PortException.Failed("no answer from the desk")
    }

    private companion object {
        const val PATIENCE_S = 30L
    }
}
