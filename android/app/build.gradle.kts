plugins {
    id("com.android.application")
    id("org.jetbrains.kotlin.android")
}

android {
    namespace = "org.coldlug.phone"
    compileSdk = 35

    defaultConfig {
        applicationId = "org.coldlug.phone"
        minSdk = 26
        targetSdk = 35
        versionCode = 1
        versionName = "0.1.0"
    }

    buildTypes {
        release {
            // The bridge to the core finds its classes by name: nothing is renamed or left out.
            isMinifyEnabled = false
        }
    }

    compileOptions {
        sourceCompatibility = JavaVersion.VERSION_17
        targetCompatibility = JavaVersion.VERSION_17
    }

    sourceSets {
        // Written by tests/bindings.sh; the core's libraries by cargo-ndk into src/main/jniLibs.
        getByName("main").kotlin.srcDirs("src/main/kotlin", "../../target/bindings/kotlin")
        // The tests run by Maven, on a framework that Gradle does not need here.
        getByName("test").java.setSrcDirs(emptyList<String>())
        getByName("test").kotlin.setSrcDirs(emptyList<String>())
    }
}

kotlin {
    jvmToolchain(17)
}

dependencies {
    implementation("net.java.dev.jna:jna:5.19.1@aar")
}
