package org.coldlug.phone.device

import java.io.IOException
import java.net.HttpURLConnection
import java.net.URL
import uniffi.coldlug_phone.PortException
import uniffi.coldlug_phone.Reply
import uniffi.coldlug_phone.Transport

/** The way to the desk: one post, one answer, nothing followed and nothing kept. */
class HttpTransport : Transport {
    override fun send(url: String, body: ByteArray): Reply =
        try {
            post(URL(url).openConnection() as HttpURLConnection, body)
        } catch (trouble: IOException) {
            throw PortException.Failed(trouble.toString())
        } catch (notHttp: ClassCastException) {
            throw PortException.Failed(notHttp.toString())
        }

    private fun post(way: HttpURLConnection, body: ByteArray): Reply {
        try {
            way.requestMethod = "POST"
            way.instanceFollowRedirects = false
            way.useCaches = false
            way.connectTimeout = PATIENCE_MS
            way.readTimeout = PATIENCE_MS
            way.doOutput = true
            way.setFixedLengthStreamingMode(body.size)
            way.setRequestProperty("Content-Type", "application/octet-stream")
            way.outputStream.use { it.write(body) }
            val status = way.responseCode
            val answer = if (status < FIRST_ERROR) way.inputStream else way.errorStream
            return Reply(status.toUShort(), answer?.use { it.readBytes() } ?: ByteArray(0))
        } finally {
            way.disconnect()
        }
    }

    private companion object {
        const val PATIENCE_MS = 20_000
        const val FIRST_ERROR = 400
    }
}
