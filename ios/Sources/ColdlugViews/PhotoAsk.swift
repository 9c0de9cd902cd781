import Coldlug
import ColdlugCore
import Foundation
import SwiftUI
import UIKit

/// A picture taken now.
struct PhotoAsk: View {
    let work: Work
    let entry: Entry
    let ask: Ask
    @State private var isTaking = false

    var body: some View {
        if !entry.values(of: ask).isEmpty {
            HStack {
                Sign(mark: .disc)
                Line(work.word(.pictureKept))
            }
        }
        Button {
            isTaking = true
        } label: {
            Line(work.word(.takePicture)).font(.title3)
        }
        .buttonStyle(Key(leads: false))
        .fullScreenCover(isPresented: $isTaking) {
            Camera { bytes in
                isTaking = false
                if let bytes { Task { await work.picture(bytes, for: ask) } }
            }
        }
    }
}

/// The system's camera.
struct Camera: UIViewControllerRepresentable {
    /// The picture as a JPEG; none: it was left without one.
    let done: @MainActor (Data?) -> Void

    func makeUIViewController(context: Context) -> UIImagePickerController {
        let camera = UIImagePickerController()
        camera.sourceType = .camera
        camera.delegate = context.coordinator
        return camera
    }

    func updateUIViewController(_ camera: UIImagePickerController, context: Context) {}

    func makeCoordinator() -> Taken {
        Taken(done: done)
    }

    /// Hands the picture on.
    @MainActor final class Taken: NSObject, UIImagePickerControllerDelegate,
        UINavigationControllerDelegate
    {
        private let done: @MainActor (Data?) -> Void

        init(done: @escaping @MainActor (Data?) -> Void) {
            self.done = done
        }

        func imagePickerController(
            _ picker: UIImagePickerController,
            didFinishPickingMediaWithInfo info: [UIImagePickerController.InfoKey: Any]
        ) {
            let image = info[.originalImage] as? UIImage
            done(image?.jpegData(compressionQuality: 0.8))
        }

        func imagePickerControllerDidCancel(_ picker: UIImagePickerController) {
            done(nil)
        }
    }
}
