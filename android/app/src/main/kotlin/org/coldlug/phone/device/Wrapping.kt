package org.coldlug.phone.device

/** Makes bytes unreadable outside this app on this device, and readable again. */
interface Wrapping {
    /** The bytes, wrapped. */
    fun wrap(plain: ByteArray): ByteArray

    /** What [wrap] was given. */
    fun unwrap(wrapped: ByteArray): ByteArray
}
