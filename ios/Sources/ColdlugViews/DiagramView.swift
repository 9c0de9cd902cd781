import Coldlug
import ColdlugCore
import SwiftUI

/// A one-line diagram: core's marks at core's places, in one ink. As wide as there is room, whatever
/// size letters are set to: no word of it is ever out of sight. It is read out as core says it.
struct DiagramView: View {
    let diagram: Diagram

    var body: some View {
        Canvas { context, size in
            let scale = size.width / CGFloat(diagram.width)
            context.scaleBy(x: scale, y: scale)
            for mark in diagram.marks { draw(mark, in: &context) }
        }
        .aspectRatio(CGFloat(diagram.width) / CGFloat(diagram.height), contentMode: .fit)
        .accessibilityElement(children: .ignore)
        .accessibilityLabel(diagram.spoken)
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
