import Coldlug
import ColdlugCore
import SwiftUI

/// A one-line diagram: core's marks at core's places, in one ink. It is read out as core says it, and
/// moved sideways where large letters leave it no room.
struct DiagramView: View {
    let diagram: Diagram
    /// How large the smallest letters are at least, points; it grows with the size the person has set.
    @ScaledMetric private var least: CGFloat = 18

    var body: some View {
        ScrollView(.horizontal) {
            Canvas { context, size in
                let scale = size.width / CGFloat(diagram.width)
                context.scaleBy(x: scale, y: scale)
                for mark in diagram.marks { draw(mark, in: &context) }
            }
            .aspectRatio(CGFloat(diagram.width) / CGFloat(diagram.height), contentMode: .fit)
            .containerRelativeFrame(.horizontal) { room, _ in max(room, needed) }
        }
        .accessibilityElement(children: .ignore)
        .accessibilityLabel(diagram.spoken)
    }

    /// The width at which the smallest letters are as large as they have to be.
    private var needed: CGFloat {
        let sizes = diagram.marks.compactMap { mark -> Int32? in
            if case .words(_, _, let size, _) = mark { size } else { nil }
        }
        return least * CGFloat(diagram.width) / CGFloat(sizes.min() ?? diagram.width)
    }

    private func draw(_ mark: DiagramMark, in context: inout GraphicsContext) {
        switch mark {
        case .line(let start, let end, let pen):
            var path = Path()
            path.move(to: start.point)
            path.addLine(to: end.point)
            draw(path, pen, solid: false, in: &context)
        case .ring(let at, let radius, let pen, let solid):
            let (corner, side) = (CGFloat(radius), CGFloat(2 * radius))
            let box = CGRect(x: at.point.x - corner, y: at.point.y - corner, width: side, height: side)
            draw(Path(ellipseIn: box), pen, solid: solid, in: &context)
        case .frame(let at, let width, let height, let pen, let solid):
            let size = CGSize(width: CGFloat(width), height: CGFloat(height))
            draw(Path(CGRect(origin: at.point, size: size)), pen, solid: solid, in: &context)
        case .words(let at, let text, let size, let heavy):
            let font = Font.system(size: CGFloat(size), weight: heavy ? .heavy : .regular, design: .monospaced)
            let words = context.resolve(Text(verbatim: text).font(font).foregroundStyle(Color.ink))
            let unbounded = CGSize(width: CGFloat.infinity, height: CGFloat.infinity)
            let top = at.point.y - words.firstBaseline(in: unbounded)
            context.draw(words, at: CGPoint(x: at.point.x, y: top), anchor: .topLeading)
        }
    }

    private func draw(_ path: Path, _ pen: Pen, solid: Bool, in context: inout GraphicsContext) {
        if solid {
            context.fill(path, with: .color(.ink))
        } else {
            context.stroke(path, with: .color(.ink), style: pen.style)
        }
    }
}

extension Spot {
    /// The place as a point.
    fileprivate var point: CGPoint {
        CGPoint(x: CGFloat(x), y: CGFloat(y))
    }
}

extension Pen {
    /// The pen as a style of lines.
    fileprivate var style: StrokeStyle {
        StrokeStyle(
            lineWidth: CGFloat(width), lineCap: round ? .round : .butt,
            dash: dash.map { [CGFloat($0), CGFloat($0)] } ?? [])
    }
}
