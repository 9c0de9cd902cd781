package org.coldlug.phone.device

import java.io.File
import java.io.FileOutputStream
import java.io.IOException
import java.security.GeneralSecurityException
import java.security.SecureRandom
import uniffi.coldlug_phone.Keys
import uniffi.coldlug_phone.PortException

/** The seed of the phone's own key, wrapped, in a file of the app's. */
class SeedFile(private val file: File, private val wrapping: Wrapping) : Keys {
    private val chance = SecureRandom()

    override fun seed(): ByteArray? = told {
        if (file.exists()) wrapping.unwrap(file.readBytes()) else null
    }

    override fun keep(seed: ByteArray) = told {
        val wrapped = wrapping.wrap(seed)
        val fresh = File(file.path + ".new")
        FileOutputStream(fresh).use {
            it.write(wrapped)
            it.fd.sync()
        }
        // The old seed or the new one, never half of either.
        if (!fresh.renameTo(file)) throw IOException("the seed's file cannot be put in place")
    }

    override fun random(count: UInt): ByteArray = ByteArray(count.toInt()).also(chance::nextBytes)

    private fun <T> told(work: () -> T): T =
        try {
            work()
        } catch (trouble: IOException) {
            throw PortException.Failed(trouble.toString())
        } catch (trouble: GeneralSecurityException) {
            throw PortException.Failed(trouble.toString())
        } catch (trouble: IllegalStateException) {
            throw PortException.Failed(trouble.toString())
        }
}
