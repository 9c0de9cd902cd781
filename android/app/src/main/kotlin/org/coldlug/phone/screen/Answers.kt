package org.coldlug.phone.screen

import android.os.Bundle
import uniffi.coldlug_phone.Answer
import uniffi.coldlug_phone.Offer

/** What was answered so far, by field, and which question stands on the screen. */
class Answers {
    /** The question in hand; past the last one: all answers once more. */
    var page = 0
        set(value) {
            field = value
            shown = null
        }

    private val given = LinkedHashMap<String, List<String>>()
    private var shown: String? = null

    operator fun get(field: String): List<String> = given[field].orEmpty()

    /** The question whose answer [put] keeps. */
    fun show(field: String) {
        shown = field
    }

    /** Keeps the answer of the question in hand. */
    fun put(values: List<String>) {
        shown?.let { given[it] = values }
    }

    /** As the core takes them. What stands open is left out. */
    fun given(offer: Offer): List<Answer> =
        offer.asks.flatMap { ask -> this[ask.`field`].map { Answer(ask.`field`, it) } }

    fun save(to: Bundle) {
        to.putInt(PAGE, page)
        to.putString(SHOWN, shown)
        to.putStringArrayList(FIELDS, ArrayList(given.keys))
        for ((field, values) in given) to.putStringArrayList(FIELD + field, ArrayList(values))
    }

    companion object {
        private const val PAGE = "page"
        private const val SHOWN = "shown"
        private const val FIELDS = "fields"
        private const val FIELD = "field "

        fun from(saved: Bundle): Answers =
            Answers().apply {
                page = saved.getInt(PAGE)
                shown = saved.getString(SHOWN)
                for (field in saved.getStringArrayList(FIELDS).orEmpty()) {
                    given[field] = saved.getStringArrayList(FIELD + field).orEmpty()
                }
            }
    }
}
