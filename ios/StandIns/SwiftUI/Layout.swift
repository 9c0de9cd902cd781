// Test aid, not shipped: layout and what is drawn of itself.

import UIKit

public enum HorizontalAlignment: Sendable { case leading, center, trailing }
public enum VerticalAlignment: Sendable { case top, center, bottom, firstTextBaseline }
public enum Alignment: Sendable { case leading, center, trailing }

public struct VStack<C: View>: View {
    public init(
        alignment: HorizontalAlignment = .center, spacing: CGFloat? = nil,
        @ViewBuilder content: () -> C
    ) {}
    public var body: Never { return fatalError() }
}

public struct HStack<C: View>: View {
    public init(
        alignment: VerticalAlignment = .center, spacing: CGFloat? = nil,
        @ViewBuilder content: () -> C
    ) {}
    public var body: Never { return fatalError() }
}

public struct ScrollView<C: View>: View {
    public init(@ViewBuilder content: () -> C) {}
    public var body: Never { return fatalError() }
}

public struct ForEach<Data: RandomAccessCollection, ID: Hashable, C: View>: View {
    public init(
        _ data: Data, id: KeyPath<Data.Element, ID>,
        @ViewBuilder content: @escaping (Data.Element) -> C
    ) {}
    public var body: Never { return fatalError() }
}

public struct Text: View {
    public init(verbatim content: String) {}
    public func font(_ font: Font?) -> Text { self }
    public func foregroundStyle<S: ShapeStyle>(_ style: S) -> Text { self }
    public var body: Never { return fatalError() }
}

public struct Image: View {
    public init(systemName: String) {}
    public var body: Never { return fatalError() }
}

public struct Rectangle: Shape {
    public nonisolated init() {}
    public var body: Never { return fatalError() }
}

public protocol Shape: View, Sendable {}

public struct Color: View, ShapeStyle {
    public static let primary = Color()
    nonisolated init() {}
    public nonisolated init(uiColor: UIColor) {}
    public var body: Never { return fatalError() }
}

public protocol ShapeStyle: Sendable {}

public struct Font: Hashable, Sendable {
    public static let largeTitle = Font()
    public static let title = Font()
    public static let title2 = Font()
    public static let title3 = Font()
    public static let headline = Font()
    public static let body = Font()
    public static let callout = Font()
    public enum Weight: Sendable { case regular, heavy }
    public enum Design: Sendable { case monospaced }
    public static func system(size: CGFloat, weight: Weight? = nil, design: Design? = nil) -> Font {
        Font()
    }
    public func bold() -> Font { self }
    public func monospaced() -> Font { self }
    public func monospacedDigit() -> Font { self }
}
