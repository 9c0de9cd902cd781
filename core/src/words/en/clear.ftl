## The word of every phone before anything closes

clear-said-before-closing = Wait for the word of every other phone of the crew that all is clear: it inspects and releases, and both sync.
no-offer-after-clear = This phone has said that all is clear: others close on that. It offers nothing until more is opened.
opening-heard-before-offer = A phone of the crew may not know yet what is open: let it sync and write something down first.
headline-wait-for-word = Wait for word from { $who }
