using VibeCheck.Core.Flights;
using VibeCheck.Logs.Inputs;
using VibeCheck.Reports.Text;

namespace VibeCheck.Cli;

/// <summary>The message for a log without a hover, with what to do.</summary>
internal static class HoverFault
{
    internal static void ThrowIfNone(FlightAnalysis analysis)
    {
        if (analysis.Hover.Segments.Count == 0)
        {
            throw new InputFaultException(
                new InputFault(
                    analysis.Input.Imu.Path,
                    null,
                    null,
                    $"no hover was found in this log: {ReasonText.Clause(analysis.Hover.Why)}",
                    "Use a log with at least 10 s, better 2 minutes, of steady hover, and include the ESC telemetry if there is any."
                )
            );
        }
    }
}
