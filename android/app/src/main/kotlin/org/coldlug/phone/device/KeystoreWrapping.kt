package org.coldlug.phone.device

import android.security.keystore.KeyGenParameterSpec
import android.security.keystore.KeyProperties
import java.security.KeyStore
import javax.crypto.Cipher
import javax.crypto.KeyGenerator
import javax.crypto.SecretKey
import javax.crypto.spec.GCMParameterSpec

/** Wraps with a key that never leaves the device's key store. */
class KeystoreWrapping : Wrapping {
    override fun wrap(plain: ByteArray): ByteArray {
        val cipher = Cipher.getInstance(CIPHER)
        cipher.init(Cipher.ENCRYPT_MODE, key() ?: newKey())
        val iv = cipher.iv
        check(iv.size == IV) { "an unusual cipher" }
        return iv + cipher.doFinal(plain)
    }

    override fun unwrap(wrapped: ByteArray): ByteArray {
        val cipher = Cipher.getInstance(CIPHER)
        val spec = GCMParameterSpec(TAG_BITS, wrapped, 0, IV)
        cipher.init(Cipher.DECRYPT_MODE, checkNotNull(key()) { "the wrapping key is gone" }, spec)
        return cipher.doFinal(wrapped, IV, wrapped.size - IV)
    }

    private fun key(): SecretKey? =
        KeyStore.getInstance(STORE).apply { load(null) }.getKey(ALIAS, null) as SecretKey?

    private fun newKey(): SecretKey {
        val purposes = KeyProperties.PURPOSE_ENCRYPT or KeyProperties.PURPOSE_DECRYPT
        val spec =
            KeyGenParameterSpec.Builder(ALIAS, purposes)
                .setBlockModes(KeyProperties.BLOCK_MODE_GCM)
                .setEncryptionPaddings(KeyProperties.ENCRYPTION_PADDING_NONE)
                .setKeySize(KEY_BITS)
                .build()
        val generator = KeyGenerator.getInstance(KeyProperties.KEY_ALGORITHM_AES, STORE)
        generator.init(spec)
        return generator.generateKey()
    }

    private companion object {
        const val STORE = "AndroidKeyStore"
        const val ALIAS = "coldlug-seed"
        const val CIPHER = "AES/GCM/NoPadding"
        const val IV = 12
        const val TAG_BITS = 128
        const val KEY_BITS = 256
    }
}
