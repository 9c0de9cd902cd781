// The app as Gradle builds it for a release, on a machine that has Android's tools. `cargo verify` builds and
// tests the same sources by Maven (app/pom.xml); this has not run there.
pluginManagement {
    repositories {
        google()
        mavenCentral()
    }
}

dependencyResolutionManagement {
    repositories {
        google()
        mavenCentral()
    }
}

rootProject.name = "coldlug"

include(":app")
