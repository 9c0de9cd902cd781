package org.coldlug.phone

import android.app.Activity
import android.app.Application
import android.os.Bundle

/** Lets the core sleep while no screen of the app is seen, and wakes it for the next one. */
class Awake(private val app: App) : Application.ActivityLifecycleCallbacks {
    private var seen = 0

    override fun onActivityStarted(activity: Activity) {
        seen += 1
        if (seen == 1) app.core.wake()
    }

    override fun onActivityStopped(activity: Activity) {
        seen -= 1
        // A turned phone stops its screen only to start it again.
        if (seen == 0 && !activity.isChangingConfigurations) app.core.sleep()
    }

    override fun onActivityCreated(activity: Activity, state: Bundle?) = Unit

    override fun onActivityResumed(activity: Activity) = Unit

    override fun onActivityPaused(activity: Activity) = Unit

    override fun onActivitySaveInstanceState(activity: Activity, state: Bundle) = Unit

    override fun onActivityDestroyed(activity: Activity) = Unit
}
