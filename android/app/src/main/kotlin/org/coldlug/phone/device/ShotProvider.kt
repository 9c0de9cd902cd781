package org.coldlug.phone.device

import android.content.ContentProvider
import android.content.ContentValues
import android.database.Cursor
import android.net.Uri
import android.os.ParcelFileDescriptor

/** Opens the one file that the camera app is asked to write, and nothing else. */
class ShotProvider : ContentProvider() {
    override fun onCreate(): Boolean = true

    override fun openFile(uri: Uri, mode: String): ParcelFileDescriptor =
        ParcelFileDescriptor.open(Shot.file(checkNotNull(context)), ParcelFileDescriptor.parseMode(mode))

    override fun getType(uri: Uri): String = "image/jpeg"

    override fun query(uri: Uri, fields: Array<String>?, which: String?, args: Array<String>?, order: String?): Cursor? = null

    override fun insert(uri: Uri, values: ContentValues?): Uri? = null

    override fun delete(uri: Uri, which: String?, args: Array<String>?): Int = 0

    override fun update(uri: Uri, values: ContentValues?, which: String?, args: Array<String>?): Int = 0
}
