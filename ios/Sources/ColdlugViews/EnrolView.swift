import Coldlug
import ColdlugCore
import SwiftUI

/// Before a phone is enrolled: what the dispatcher's code says goes in here.
struct EnrolView: View {
    let work: Work
    @State private var text = ""

    var body: some View {
        Line(work.word(.invitation)).font(.title2.bold())
        TextField("", text: $text)
            .font(.title3)
            .autocorrectionDisabled()
            .frame(minHeight: Reach.target)
            .border(Color.ink, width: 2)
            .accessibilityLabel(work.word(.invitation).spoken)
        Button {
            Task { await work.enrol(text) }
        } label: {
            Line(work.word(work.isTalking ? .syncing : .enrol)).font(.title3.bold())
        }
        .buttonStyle(Key(leads: true))
        .disabled(text.isEmpty || work.isTalking)
    }
}
