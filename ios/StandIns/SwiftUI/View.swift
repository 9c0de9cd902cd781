// Test aid, not shipped: declares what the app uses of SwiftUI, so that the views are type-checked on
// Linux. It draws nothing. Signatures follow Apple's public documentation.

@_exported import Foundation
import UIKit

@MainActor @preconcurrency public protocol View {
    associatedtype Body: View
    @ViewBuilder var body: Body { get }
}

/// The body of what has none of its own.
extension Never: View {
    public var body: Never { return fatalError() }
}

@resultBuilder public enum ViewBuilder {
    public static func buildBlock<each C: View>(_ content: repeat each C) -> TupleView<(repeat each C)> {
        .init((repeat each content))
    }
    public static func buildBlock<C: View>(_ content: C) -> C { content }
    public static func buildEither<A: View, B: View>(first: A) -> Either<A, B> { .first(first) }
    public static func buildEither<A: View, B: View>(second: B) -> Either<A, B> { .second(second) }
    public static func buildIf<A: View>(_ content: A?) -> A? { content }
}

extension Optional: View where Wrapped: View {
    public var body: Never { return fatalError() }
}

public enum Either<A: View, B: View>: View {
    case first(A)
    case second(B)
    public var body: Never { return fatalError() }
}

public struct TupleView<T>: View {
    nonisolated init(_ content: T) {}
    public var body: Never { return fatalError() }
}

public struct EmptyView: View {
    public init() {}
    public var body: Never { return fatalError() }
}

/// What a modifier gives.
public struct Modified: View {
    nonisolated init() {}
    public var body: Never { return fatalError() }
}

@MainActor @preconcurrency public protocol UIViewControllerRepresentable: View where Body == Never {
    associatedtype UIViewControllerType: UIViewController
    associatedtype Coordinator = Void
    typealias Context = UIViewControllerRepresentableContext<Self>
    func makeUIViewController(context: Context) -> UIViewControllerType
    func updateUIViewController(_ controller: UIViewControllerType, context: Context)
    func makeCoordinator() -> Coordinator
}

extension UIViewControllerRepresentable {
    public var body: Never { return fatalError() }
}

@MainActor public struct UIViewControllerRepresentableContext<R: UIViewControllerRepresentable> {
    public let coordinator: R.Coordinator
}
