/** Starts `turnchain editor` for the patterns that are open, and stops it with the window. */

import { type ExtensionContext, commands, window, workspace } from "vscode";
import { LanguageClient } from "vscode-languageclient/node";

let client: LanguageClient | undefined;

export async function activate(context: ExtensionContext): Promise<void> {
  context.subscriptions.push(
    commands.registerCommand("turnchain.openPreview", async () => {
      const open = window.activeTextEditor?.document.uri.toString();
      if (client?.isRunning() && open !== undefined) {
        await client.sendRequest("workspace/executeCommand", { command: "turnchain.preview", arguments: [open] });
      }
    }),
    workspace.onDidChangeConfiguration(async (change) => {
      if (change.affectsConfiguration("turnchain")) {
        await client?.stop();
        await start();
      }
    }),
  );
  await start();
}

export async function deactivate(): Promise<void> {
  await client?.stop();
}

async function start(): Promise<void> {
  const settings = workspace.getConfiguration("turnchain");
  const command = settings.get("program", "turnchain");
  client = new LanguageClient(
    "turnchain",
    "Turnchain",
    { command, args: ["editor"] },
    {
      documentSelector: [{ language: "turnchain" }],
      initializationOptions: { debounce: settings.get("debounce", 200) },
    },
  );
  try {
    await client.start();
  } catch {
    const chosen = await window.showErrorMessage(
      `Turnchain can't be started as "${command}". Install it with pip install "turnchain[editor]", or say where it is.`,
      "Open settings",
    );
    if (chosen) {
      await commands.executeCommand("workbench.action.openSettings", "turnchain.program");
    }
  }
}
