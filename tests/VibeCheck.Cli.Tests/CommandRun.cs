using System.Text.Json;

namespace VibeCheck.Cli.Tests;

/// <summary>One run of the command line within the test process: exit code and both outputs.</summary>
internal sealed record CommandRun(int ExitCode, string Output, string Error)
{
    internal static CommandRun Of(params string[] args) => Answering("", args);

    internal static CommandRun Answering(string typed, params string[] args)
    {
        using var output = new StringWriter();
        using var error = new StringWriter();
        using var input = new StringReader(typed);
        int code = VibeCheckApp.Run(args, new Terminal(output, error, input, isInteractive: false));
        return new(code, output.ToString(), error.ToString());
    }

    internal JsonElement Json()
    {
        using JsonDocument document = JsonDocument.Parse(Output);
        return document.RootElement.Clone();
    }
}
