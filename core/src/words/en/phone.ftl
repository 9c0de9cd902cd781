### What a phone says of itself, in English: what is so, and what to do.

invitation-unreadable = This is no invitation to enrol. Scan the code again, or type all four parts as they stand beside it.
not-a-photo = This is no photo: JPEG and PNG are taken. Nothing was kept.
not-the-desk = What answered is not the desk of this phone. Nothing was taken: tell the dispatcher.
phone-unreadable = This was not understood: { $reason }. Nothing was written.
phone-no-such-job = This job is not on this phone. Sync, and look again.
phone-no-picture = This picture is not on this phone yet. Sync, and look again.
phone-not-enrolled = This phone is not enrolled. Scan the code that the dispatcher shows.
phone-other-device = This phone is enrolled as { $device } already. Ask the dispatcher for a code for that name.
phone-key-lost = This phone's key is gone: it can write nothing. Ask the dispatcher to enrol it anew.
phone-offline = The desk cannot be reached. Everything is kept on this phone: sync again later.
phone-busy = This phone is talking to the desk. Wait until that is done.
phone-storage-full = The phone is full: nothing more can be kept. Make room first.
phone-corrupt = What this phone keeps is damaged. It was left as it is: keep the phone, tell the dispatcher.
phone-asleep = Coldlug sleeps. Open it again.
phone-closed = Coldlug is closed. Open it again.
phone-internal = Something in Coldlug failed. Nothing was written. Try again, and tell the dispatcher.
phone-other-sheet = The desk's sheets of job { $job } are not the ones it was opened with. It is not shown: tell the dispatcher.
phone-fork = Entry { $seq } of { $device } on job { $job } differs between phone and desk. Nothing was replaced: tell the dispatcher.
phone-entry-not-taken = Entry { $seq } of { $device } on job { $job } was not taken. Tell the dispatcher.
phone-other-key = Job { $job } names another key for { $device } than this phone knows. Nothing of it was taken: tell the dispatcher.
phone-photo-not-taken = A photo of job { $job } was not taken by the desk. It is kept here.
