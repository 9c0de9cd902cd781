// Test aid, not shipped: what is touched.

public struct Button<L: View>: View {
    public init(action: @escaping @MainActor () -> Void, @ViewBuilder label: () -> L) {}
    public var body: Never { return fatalError() }
}

@MainActor @preconcurrency public protocol ButtonStyle {
    associatedtype Body: View
    typealias Configuration = ButtonStyleConfiguration
    @ViewBuilder func makeBody(configuration: Configuration) -> Body
}

public struct ButtonStyleConfiguration {
    public struct Label: View {
        public var body: Never { return fatalError() }
    }
    public let label: Label
    public let isPressed: Bool
}

public struct TextField: View {
    public init(_ title: String, text: Binding<String>) {}
    public var body: Never { return fatalError() }
}

public struct SensoryFeedback: Sendable {
    public static let selection = SensoryFeedback()
}

public struct AccessibilityTraits: OptionSet, Sendable {
    public let rawValue: Int
    public init(rawValue: Int) { self.rawValue = rawValue }
    public static let isHeader = AccessibilityTraits(rawValue: 1)
    public static let isSelected = AccessibilityTraits(rawValue: 2)
}

public enum AccessibilityChildBehavior: Sendable { case contain, combine, ignore }
