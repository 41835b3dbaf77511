// Package bot is the chat platform's front end: it turns interactions into
// [reply.Request]s and sends what package fit makes of [reply.Reply]s.
//
// Its nouns: an interaction is one thing a member did, arriving over the
// gateway (a WebSocket) or over a signed HTTP request; the first answer must
// reach the platform within three seconds and may be a deferral; an edit fills
// a deferral in; a shard is one gateway connection; a custom id is what a
// button, menu or form carries back when it is used.
//
// With its rooms it is the only one that knows the platform's library. Sessions and REST
// calls go through that library; interactions are decoded here, because the
// library's own decoding gives up on components that it does not know.
//
// Work waits in lanes, where members take turns: see [lane]. Words go out before
// their pictures, which the [easel] draws.
//
// What will hurt you:
//   - An interaction can be answered once. Everything after the first answer is
//     an edit or a follow-up.
//   - Whether an answer is private is settled by the first answer, so a deferral
//     settles it too.
//   - A form can only be the first answer, and never to another form.
//   - The library holds its session lock while it connects and can hang there;
//     nothing here may touch a session's lock outside its shard.
//   - Errors of the library carry interaction tokens. Show and log none of them
//     without the redactor.
package bot
