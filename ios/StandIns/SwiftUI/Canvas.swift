// Test aid, not shipped: what is drawn by hand.

public struct Canvas: View {
    public init(renderer: @escaping (inout GraphicsContext, CGSize) -> Void) {}
    public var body: Never { return fatalError() }
}

public struct GraphicsContext {
    public struct Shading {
        public static func color(_ color: Color) -> Shading { Shading() }
    }
    public struct ResolvedText {
        public func firstBaseline(in size: CGSize) -> CGFloat { 0 }
    }
    public mutating func scaleBy(x: CGFloat, y: CGFloat) {}
    public func fill(_ path: Path, with shading: Shading) {}
    public func stroke(_ path: Path, with shading: Shading, style: StrokeStyle) {}
    public func resolve(_ text: Text) -> ResolvedText { ResolvedText() }
    public func draw(_ text: ResolvedText, at point: CGPoint, anchor: UnitPoint = .center) {}
}

public struct Path: Sendable {
    public init() {}
    public init(_ rect: CGRect) {}
    public init(ellipseIn rect: CGRect) {}
    public mutating func move(to end: CGPoint) {}
    public mutating func addLine(to end: CGPoint) {}
}

public enum CGLineCap: Sendable { case butt, round }

public struct StrokeStyle: Sendable {
    public init(lineWidth: CGFloat = 1, lineCap: CGLineCap = .butt, dash: [CGFloat] = []) {}
}

public struct UnitPoint: Sendable {
    public static let center = UnitPoint()
    public static let topLeading = UnitPoint()
}
