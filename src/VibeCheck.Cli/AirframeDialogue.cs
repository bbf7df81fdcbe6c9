using System.Globalization;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Airframes;
using VibeCheck.Reports.Console;

namespace VibeCheck.Cli;

/// <summary>Asks for an airframe, one question at a time. Every answer is checked at once; b goes back one question, q stops.</summary>
/// <param name="input">Answers; their end stops the questions as q does.</param>
/// <param name="output">Questions.</param>
/// <param name="width">Columns of the drawing at the end.</param>
internal sealed class AirframeDialogue(TextReader input, TextWriter output, int width)
{
    private bool _inch;

    private sealed record Step(
        Func<AirframeAnswers, string> Question,
        Func<AirframeAnswers, string, (AirframeAnswers? Answers, string? Problem)> Take,
        bool IsOptional = true
    )
    {
        internal Func<AirframeAnswers, bool> Applies { get; init; } = _ => true;
    }

    /// <summary>The airframe, or null where the questions were stopped.</summary>
    internal AirframeAnswers? Run(AirframeAnswers start)
    {
        output.WriteLine("These questions make an airframe file. Enter accepts the value in brackets,");
        output.WriteLine("b goes back one question, q stops without writing. Lengths in mm, or as 17.7 in.");
        Step[] steps = Steps();
        var answers = new AirframeAnswers[steps.Length + 1];
        answers[0] = start;
        int at = 0;
        while (at < steps.Length)
        {
            int next = Ask(steps, answers, at);
            if (next < 0)
            {
                return null;
            }

            at = next;
        }

        AirframeAnswers done = answers[^1];
        output.WriteLine();
        new AirframeSketch(output, width, _inch).Write(done.ToAirframe());
        output.WriteLine();
        while (true)
        {
            output.Write("Is this your aircraft? Enter writes the file, b starts again, q stops: ");
            switch (input.ReadLine()?.Trim().ToLowerInvariant())
            {
                case "" or "y" or "yes":
                    return done;
                case null or "q":
                    return null;
                case "b" or "n" or "no":
                    return Run(done);
            }
        }
    }

    private Step[] Steps() =>
        [
            new(_ => "Millimetres or inches? (mm)", TakeUnit),
            new(a => $"Name of the aircraft ({a.Name})", (a, t) => (a with { Name = t }, null)),
            new(a => $"How many arms; a coaxial pair shares one ({a.Arms})", (a, t) => a.WithArms(t)),
            new(
                a => $"Shape: x (nose between two arms), plus (an arm at the nose){(a.Arms == 4 ? ", rectangle" : "")} ({Word(a.Layout)})",
                (a, t) => a.WithShape(t)
            ),
            new(a => $"Two motors on each arm, one above the other: y or n ({(a.Coaxial ? "y" : "n")})", (a, t) => a.WithCoaxial(t)),
            new(
                a => $"Span: from a motor axis through the centre to the opposite one, twice the arm{Shown(a.SpanMm)}",
                (a, t) => a.WithSpan(t, _inch),
                IsOptional: false
            )
            {
                Applies = a => a.Layout != ArmLayout.Rectangle,
            },
            new(a => $"Distance between the left and the right motors{Shown(a.WideMm)}", (a, t) => a.WithWide(t, _inch), IsOptional: false)
            {
                Applies = a => a.Layout == ArmLayout.Rectangle,
            },
            new(a => $"Distance between the front and the rear motors{Shown(a.LongMm)}", (a, t) => a.WithLong(t, _inch), IsOptional: false)
            {
                Applies = a => a.Layout == ArmLayout.Rectangle,
            },
            new(
                a =>
                    $"Names of the {a.MotorCount} motors, clockwise from the "
                    + $"nose{(a.Coaxial ? ", of each pair the upper one first" : "")} (M1 to M{a.MotorCount})",
                (a, t) => a.WithIds(t)
            ),
            new(
                a =>
                    $"The {(a.Coaxial ? "upper " : "")}motor first clockwise from the nose turns, seen from above: cw or ccw; or all "
                    + $"{a.MotorCount} in that order (cw, then alternating)",
                (a, t) => a.WithSpins(t)
            ),
            new(a => $"Blades of a propeller ({a.Blades})", (a, t) => a.WithBlades(t)),
            new(
                a =>
                    $"Pole pairs of a motor: half its magnets; only for logs with electrical speed "
                    + $"({a.PolePairs?.ToString(CultureInfo.InvariantCulture) ?? "not known"})",
                (a, t) => a.WithPolePairs(t)
            ),
            new(a => $"Take-off mass, kg ({a.MassKg?.ToString(CultureInfo.InvariantCulture) ?? "not known"})", (a, t) => a.WithMass(t)),
            new(_ => $"Bolts of a motor: {BoltWords.Forms} (not known)", (a, t) => a.WithBolts(t, _inch)),
            new(_ => "Shims at hand, such as 0.1 0.2 0.3 (these three)", (a, t) => a.WithShims(t, _inch)),
        ];

    /// <summary>One question; returns the number of the next, or -1 to stop.</summary>
    private int Ask(Step[] steps, AirframeAnswers[] answers, int at)
    {
        Step step = steps[at];
        AirframeAnswers so = answers[at];
        if (!step.Applies(so))
        {
            answers[at + 1] = so;
            return at + 1;
        }

        while (true)
        {
            Wrap(step.Question(so) + ": ");
            string? text = input.ReadLine()?.Trim();
            if (text is null || text.Equals("q", StringComparison.OrdinalIgnoreCase))
            {
                return -1;
            }

            if (text.Equals("b", StringComparison.OrdinalIgnoreCase))
            {
                return Before(steps, answers, at);
            }

            (AirframeAnswers? taken, string? problem) =
                text.Length > 0 ? step.Take(so, text)
                : step.IsOptional || Has(so, at, steps) ? (so, null)
                : (null, "An answer is needed here.");
            if (taken is not null)
            {
                answers[at + 1] = taken;
                return at + 1;
            }

            output.WriteLine("  " + problem);
        }
    }

    private static bool Has(AirframeAnswers so, int at, Step[] steps) => steps[at].Question(so).Contains('(', StringComparison.Ordinal);

    private static int Before(Step[] steps, AirframeAnswers[] answers, int at)
    {
        int before = at - 1;
        while (before > 0 && !steps[before].Applies(answers[before]))
        {
            before--;
        }

        return Math.Max(0, before);
    }

    private (AirframeAnswers? Answers, string? Problem) TakeUnit(AirframeAnswers a, string text)
    {
        bool? inch = text.ToLowerInvariant() switch
        {
            "mm" or "millimetres" or "millimeters" => false,
            "in" or "inch" or "inches" or "\"" => true,
            _ => null,
        };
        _inch = inch ?? _inch;
        return inch is null ? (null, "Type mm or in.") : (a, null);
    }

    private string Shown(double? mm) =>
        mm is not double size ? "" : string.Create(CultureInfo.InvariantCulture, $" ({(_inch ? size / 25.4 : size):0.##})");

    private static string Word(ArmLayout layout) =>
        layout switch
        {
            ArmLayout.NoseOnArm => "plus",
            ArmLayout.Rectangle => "rectangle",
            _ => "x",
        };

    private void Wrap(string text)
    {
        int column = 0;
        foreach (string word in text.TrimEnd().Split(' '))
        {
            if (column > 0 && column + word.Length + 1 > Math.Min(width, 80))
            {
                output.WriteLine();
                output.Write("  ");
                column = 2;
            }
            else if (column > 0)
            {
                output.Write(' ');
                column++;
            }

            output.Write(word);
            column += word.Length;
        }

        output.Write(' ');
    }
}
