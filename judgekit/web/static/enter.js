"use strict";
// The link's token is behind the "#", which no browser sends to a server by itself.
(async () => {
  const token = location.hash.slice(1);
  if (!token) return;
  history.replaceState(null, "", location.pathname);
  const says = document.getElementById("says");
  // The list: who opened it has come with the link before.
  if (!says) return;
  try {
    const answer = await fetch("/enter", { method: "POST", body: token });
    if (answer.ok) location.replace("/");
    else says.textContent = "This link is an old one: open the one that stands on the coach's screen now.";
  } catch {
    says.textContent = "The server does not answer. Is this device in the same Wi-Fi as the coach's computer?";
  }
})();
