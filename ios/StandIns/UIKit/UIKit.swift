// Test aid, not shipped: declares what the app uses of UIKit, so that it is type-checked on Linux. It
// draws nothing and has no camera. Signatures follow Apple's public documentation.

import Foundation

public final class UIColor: Sendable {
    public static let systemBackground = UIColor()
    private init() {}
}

@MainActor open class UIViewController {
    public init() {}
}

@MainActor public final class UIImage {
    public func jpegData(compressionQuality: CGFloat) -> Data? { nil }
}

@MainActor public protocol UINavigationControllerDelegate: AnyObject {}

@MainActor public protocol UIImagePickerControllerDelegate: AnyObject {
    func imagePickerController(
        _ picker: UIImagePickerController,
        didFinishPickingMediaWithInfo info: [UIImagePickerController.InfoKey: Any]
    )
    func imagePickerControllerDidCancel(_ picker: UIImagePickerController)
}

@MainActor public final class UIImagePickerController: UIViewController {
    public struct InfoKey: Hashable, Sendable {
        public static let originalImage = InfoKey()
    }
    public enum SourceType: Sendable { case camera, photoLibrary }
    public var sourceType = SourceType.photoLibrary
    public weak var delegate: (any UIImagePickerControllerDelegate & UINavigationControllerDelegate)?
}
