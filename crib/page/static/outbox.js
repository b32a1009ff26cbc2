"use strict";
// What is not on the crib's disk yet: first in, first out; nothing expires.
const outbox = (() => {
	const store = (act) => new Promise((done, failed) => {
		const file = indexedDB.open("crib", 1);
		file.onupgradeneeded = () => file.result.createObjectStore("post", { keyPath: "key" });
		file.onerror = failed;
		file.onsuccess = () => {
			const change = file.result.transaction("post", "readwrite", { durability: "strict" });
			const asked = act(change.objectStore("post"));
			change.onabort = failed;
			change.oncomplete = () => (file.result.close(), done(asked.result));
		};
	});
	const find = (key) => store((posts) => posts.get(key));
	const drop = (key) => store((posts) => posts.delete(key));
	const all = async () => (await store((posts) => posts.getAll())).sort((a, b) => a.at - b.at);
	const put = async (post) => {
		const at = (await find(post.key))?.at ?? 1 + ((await all()).pop()?.at ?? 0);
		return store((posts) => posts.put({ ...post, at }));
	};
	const STOPS = [400, 404, 405, 409, 413, 422], told = {};
	const sendAll = async () => {
		for (const post of await all()) {
			if (post.stopped) continue;
			let status, said = {};
			try {
				const reply = await fetch(post.to, {
					method: "POST",
					body: new URLSearchParams(post.body),
					headers: { accept: "application/json" },
					redirect: "manual",
					signal: AbortSignal.timeout?.(2e4),
				});
				status = reply.status || 401;
				said = await reply.json();
			} catch { /* away */ }
			const wrong = said.error?.code;
			if (said.done && said.key === post.key) told[post.key] = said.to;
			else if (STOPS.includes(status) || wrong && status === 403) post.stopped = status;
			else return status !== 401 ? "away" : wrong === "needs-person" ? "/who" : "/pair";
			if ((await find(post.key))?.body === post.body) await (post.stopped ? put(post) : drop(post.key));
		}
	};
	// One turn at a time; says what keeps the first that waits.
	let turn;
	const send = () => turn ??= (navigator.locks?.request("crib", sendAll) ?? sendAll())
		.finally(() => turn = null);
	return { all, find, put, drop, send, told };
})();
