// Lets the search work where the pages are opened from a folder: a browser starts no worker there.
// A hidden frame runs the script in its place, and messages go to and fro as with a worker.
if (location.protocol === "file:") {
  window.Worker = class extends EventTarget {
    constructor(url) {
      super();
      const frame = document.createElement("iframe");
      frame.hidden = true;
      document.body.append(frame);
      this.inside = frame.contentWindow;
      this.inside.postMessage = (data) =>
        this.dispatchEvent(new MessageEvent("message", { data }));
      const script = this.inside.document.createElement("script");
      this.ready = new Promise((loaded) => script.addEventListener("load", loaded));
      script.src = url;
      this.inside.document.head.append(script);
    }

    async postMessage(data) {
      await this.ready;
      this.inside.dispatchEvent(new this.inside.MessageEvent("message", { data }));
    }
  };
}
