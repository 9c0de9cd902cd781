package org.coldlug.phone

import org.robolectric.RuntimeEnvironment

/** How a phone is held and lit in a test. */
enum class Light(private val qualifiers: String, private val letters: Float) {
    Day("+port-notnight", 1f),
    Night("+port-night", 1f),
    Wide("+land-notnight", 1f),
    Large("+port-notnight", 2f);

    /** For everything that is opened from now on. */
    fun put() {
        RuntimeEnvironment.setQualifiers(qualifiers)
        RuntimeEnvironment.setFontScale(letters)
    }
}
