package org.coldlug.phone

import java.io.File
import java.util.concurrent.ExecutorService
import uniffi.coldlug_phone.Clock
import uniffi.coldlug_phone.Keys
import uniffi.coldlug_phone.Transport

/** What a device gives the core. */
class Ports(
    val folder: File,
    val clock: Clock,
    val keys: Keys,
    val transport: Transport,
    /** The one thread on which the core is called for everything else. */
    val thread: ExecutorService,
    /** The one thread on which the core talks to the desk. */
    val air: ExecutorService,
)
