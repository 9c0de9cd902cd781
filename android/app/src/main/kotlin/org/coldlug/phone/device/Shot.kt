package org.coldlug.phone.device

import android.content.ClipData
import android.content.Context
import android.content.Intent
import android.net.Uri
import android.provider.MediaStore
import java.io.File

/** A picture that the device's camera app takes into a file of ours. */
class Shot(private val context: Context) {
    private val file = file(context)

    /** Asks the camera for it. It may write this one file, for this one time. */
    fun intent(): Intent {
        file.delete()
        val uri = Uri.parse("content://${context.packageName}.shot/shot.jpg")
        return Intent(MediaStore.ACTION_IMAGE_CAPTURE)
            .putExtra(MediaStore.EXTRA_OUTPUT, uri)
            .addFlags(Intent.FLAG_GRANT_WRITE_URI_PERMISSION or Intent.FLAG_GRANT_READ_URI_PERMISSION)
            .apply { clipData = ClipData.newRawUri("", uri) }
    }

    /** What the camera wrote; empty: nothing. The file is gone then: the core keeps the picture. */
    fun bytes(): ByteArray = if (file.exists()) file.readBytes().also { file.delete() } else ByteArray(0)

    companion object {
        /** Where it lies. */
        fun file(context: Context): File = File(context.cacheDir, "shot.jpg")
    }
}
