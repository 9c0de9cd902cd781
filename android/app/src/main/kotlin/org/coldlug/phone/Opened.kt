package org.coldlug.phone

import uniffi.coldlug_phone.Label
import uniffi.coldlug_phone.Phone
import uniffi.coldlug_phone.Sentence
import uniffi.coldlug_phone.Transport

/** The open core, as a question finds it. */
class Opened(val phone: Phone, val words: Words, val transport: Transport) {
    /** Who carries this phone; null: it is not enrolled. */
    fun person(): String? = phone.enrolment()?.person
}

/** What stands on the shell's own keys. */
class Words(private val labels: Map<Label, Sentence>) {
    /** The sentence of a label. The core has one for every label. */
    operator fun get(label: Label): Sentence = labels.getValue(label)
}
