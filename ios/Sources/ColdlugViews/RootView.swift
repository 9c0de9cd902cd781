import Coldlug
import ColdlugCore
import SwiftUI

/// The whole app: the physical state, what the screen says, what it is about, what can be done.
public struct RootView: View {
    private let work: Work
    @Environment(\.scenePhase) private var phase
    @SceneStorage("place") private var place = ""

    /// Draws what one person sees.
    public init(_ work: Work) {
        self.work = work
    }

    public var body: some View {
        ScrollView {
            VStack(alignment: .leading, spacing: Reach.gap) {
                if let shown = work.shown, shown.physical.isEmpty == false {
                    PhysicalLines(said: shown.physical)
                }
                if work.entry != nil || work.place != .jobs { BackKey(work: work) }
                if let trouble = work.trouble { TroubleView(work: work, trouble: trouble) }
                content
            }
            .padding(Reach.gap)
        }
        .foregroundStyle(Color.ink)
        .background(Color.ground)
        .task {
            await work.begin(at: Place(text: place))
        }
        .onChange(of: work.place) { _, now in
            place = now.text
        }
        .onChange(of: phase) { _, now in
            Task { await follow(now) }
        }
    }

    @ViewBuilder private var content: some View {
        if work.person == nil {
            EnrolView(work: work)
        } else if let entry = work.entry {
            EntryView(work: work, entry: entry)
        } else if let page = work.page {
            PageView(work: work, page: page)
        } else if let shown = work.shown {
            Headline(said: shown.headline, tone: shown.tone)
            PageKeys(work: work, keys: shown.pages.filter { $0.tone != nil })
            ScreenView(work: work, screen: shown.screen)
            PageKeys(work: work, keys: shown.pages.filter { $0.tone == nil })
            ActsView(work: work, shown: shown)
        } else {
            Line(work.word(.wait))
        }
    }

    /// Asleep in the background, awake in front; in between nothing changes hands. What a later
    /// system adds is none of these three, and leaves the phone as it is.
    private func follow(_ phase: ScenePhase) async {
        if phase == .background { await work.sleep() }
        if phase == .active { await work.wake() }
    }
}

/// One step back.
struct BackKey: View {
    let work: Work

    var body: some View {
        Button {
            Task { await work.back() }
        } label: {
            HStack {
                Image(systemName: "chevron.backward").accessibilityHidden(true)
                Line(work.word(.back))
            }
        }
        .buttonStyle(Key(leads: false))
    }
}
