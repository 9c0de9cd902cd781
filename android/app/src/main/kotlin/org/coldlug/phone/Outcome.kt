package org.coldlug.phone

import uniffi.coldlug_phone.InternalException
import uniffi.coldlug_phone.PhoneException
import uniffi.coldlug_phone.Sentence

/** What a question came to. */
sealed class Outcome<out T> {
    /** It was done. */
    class Done<T>(val value: T) : Outcome<T>()

    /** It was not, and nothing was written. */
    class NotDone(val why: Why) : Outcome<Nothing>()
}

/** Why something was not done. */
class Why(
    val said: Sentence,
    /** What is missing or in the way, by name. */
    val which: List<String> = emptyList(),
    /** The answer that does not fit; empty: none of them. */
    val field: String = "",
)

internal fun notDone(trouble: PhoneException): Outcome.NotDone =
    Outcome.NotDone(
        when (trouble) {
            is PhoneException.Refused -> Why(trouble.said, which = trouble.which)
            is PhoneException.Unfit -> Why(trouble.said, field = trouble.`field`)
            is PhoneException.NoSuchJob -> Why(trouble.said)
            is PhoneException.NoPicture -> Why(trouble.said)
            is PhoneException.Invalid -> Why(trouble.said)
            is PhoneException.NotEnrolled -> Why(trouble.said)
            is PhoneException.Busy -> Why(trouble.said)
            is PhoneException.Offline -> Why(trouble.said)
            is PhoneException.NotTaken -> Why(trouble.said)
            is PhoneException.NotTheDesk -> Why(trouble.said)
            is PhoneException.StorageFull -> Why(trouble.said)
            is PhoneException.Corrupt -> Why(trouble.said)
            is PhoneException.Asleep -> Why(trouble.said)
            is PhoneException.Closed -> Why(trouble.said)
            is PhoneException.Internal -> Why(trouble.said)
        }
    )

/** A bug across the bridge has no sentence: what it says of itself is all there is to show. */
internal fun notDone(bug: InternalException): Outcome.NotDone {
    val text = bug.message ?: bug.javaClass.name
    return Outcome.NotDone(Why(Sentence(id = "", text = text, spoken = text)))
}
