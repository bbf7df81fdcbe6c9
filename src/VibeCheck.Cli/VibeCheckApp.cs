using System.CommandLine;
using VibeCheck.Logs;

namespace VibeCheck.Cli;

/// <summary>The whole command line: commands, and the one place where faults become exit codes.</summary>
internal static class VibeCheckApp
{
    internal static int Run(string[] args, Terminal terminal)
    {
        try
        {
            ParseResult parsed = Build(terminal).Parse(args);
            int code = parsed.Invoke(new InvocationConfiguration
            {
                EnableDefaultExceptionHandler = false,
                Output = terminal.Output,
                Error = terminal.Error,
            });
            return parsed.Errors.Count > 0 ? ExitCode.WrongUsage : code;
        }
        catch (InputFaultException e)
        {
            foreach (InputFault fault in e.Faults)
            {
                terminal.Error.WriteLine($"vibecheck: {fault}");
            }

            return ExitCode.UnusableInput;
        }
        catch (OutputFaultException e)
        {
            terminal.Error.WriteLine($"vibecheck: {e.Message}");
            return ExitCode.UnusableInput;
        }
#pragma warning disable CA1031 // The outermost edge: a bug of ours must still end in one plain line and its own exit code.
        catch (Exception e)
#pragma warning restore CA1031
        {
            terminal.Error.WriteLine($"vibecheck: a fault of the tool itself: {e.GetType().Name}: {e.Message}");
            terminal.Error.WriteLine("Please report it with the command and, if you may, the files. Set VIBECHECK_TRACE=1 to see where it happened.");
            if (Environment.GetEnvironmentVariable("VIBECHECK_TRACE") == "1")
            {
                terminal.Error.WriteLine(e.StackTrace);
            }

            return ExitCode.OwnFault;
        }
    }

    private static RootCommand Build(Terminal terminal) =>
        new("Before, survey, after: did shimming the motors help? Reads flight logs (IMU and ESC, CSV) and a gauge survey.")
        {
            CompareCommand.Build(terminal),
            FlightCommand.Build(terminal),
            ShimsCommand.Build(terminal),
            ChartCommand.Build(terminal),
            DemoCommand.Build(terminal),
            ReadCommand.Build(terminal),
        };
}
