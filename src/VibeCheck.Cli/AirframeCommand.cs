using System.CommandLine;
using System.Text;
using VibeCheck.Core.Airframes;
using VibeCheck.Logs.Airframes;
using VibeCheck.Reports.Console;
using VibeCheck.Reports.Files;

namespace VibeCheck.Cli;

/// <summary><c>vibecheck airframe [FILE]</c>: describes an aircraft by questions or by options, or draws one.</summary>
internal static class AirframeCommand
{
    internal static Command Build(Terminal terminal)
    {
        Argument<string> file = new("FILE")
        {
            Description = "The airframe file to write, or with --show to draw.",
            DefaultValueFactory = _ => "airframe.toml",
        };
        Option<bool> show = new("--show") { Description = "Draw the aircraft of FILE; nothing is written." };
        Option<bool> inch = new("--inch") { Description = "Lengths without a unit are in inches, not mm. 450mm and 17.7in always work." };
        Setting[] settings =
        [
            new("--arms", "N", "Number of arms, 3 to 16; a coaxial pair shares one.", (a, t, _) => a.WithArms(t)),
            new(
                "--shape",
                "SHAPE",
                "x (nose between two arms), plus (an arm at the nose) or rectangle (four arms).",
                (a, t, _) => a.WithShape(t)
            ),
            new(
                "--span",
                "LENGTH",
                "Distance from a motor axis to the opposite one, through the centre: twice the arm.",
                (a, t, i) => a.WithSpan(t, i)
            ),
            new("--wide", "LENGTH", "Rectangle: distance between the left and the right motors.", (a, t, i) => a.WithWide(t, i)),
            new("--long", "LENGTH", "Rectangle: distance between the front and the rear motors.", (a, t, i) => a.WithLong(t, i)),
        ];
        Option<bool> coaxial = new("--coaxial") { Description = "Two motors on each arm, an upper and a lower one." };
        Setting[] details =
        [
            new(
                "--ids",
                "IDS",
                "Names of the motors clockwise from the nose, such as M1,M5,M3 (default: M1, M2 and so on).",
                (a, t, _) => a.WithIds(t)
            ),
            new(
                "--spin",
                "SPIN",
                "cw or ccw for the first motor clockwise from the nose, or for all, such as cw,ccw,cw (default: cw, then alternating).",
                (a, t, _) => a.WithSpins(t)
            ),
            new("--name", "NAME", "Name of the aircraft.", (a, t, _) => (a with { Name = t }, null)),
            new("--blades", "N", "Blades of a propeller (default: 2).", (a, t, _) => a.WithBlades(t)),
            new("--pole-pairs", "N", "Pole pairs of a motor, for logs with electrical speed.", (a, t, _) => a.WithPolePairs(t)),
            new("--mass", "KG", "Take-off mass, kg.", (a, t, _) => a.WithMass(t)),
            new(
                "--bolts",
                "BOLTS",
                "Bolts of a motor, such as \"square 28.6\", \"cross 25\" or \"diagonals 16x19\".",
                (a, t, i) => a.WithBolts(t, i)
            ),
            new("--shims", "LIST", "Shims at hand, such as \"0.1 0.2 0.3\".", (a, t, i) => a.WithShims(t, i)),
        ];
        Command command = new("airframe", "Make an airframe file by questions or options, or draw one.") { file, show, inch, coaxial };
        foreach (Setting setting in settings.Concat(details))
        {
            command.Options.Add(setting.Option);
        }

        command.SetAction(parsed =>
        {
            string path = parsed.GetRequiredValue(file);
            bool inInches = parsed.GetValue(inch);
            Setting[] said = [.. settings.Concat(details).Where(s => parsed.GetValue(s.Option) is not null)];
            if (parsed.GetValue(show))
            {
                return said.Length > 0 || parsed.GetValue(coaxial)
                    ? throw new UsageException(
                        "--show draws a file as it is. Leave the other options out, or leave --show out to write one."
                    )
                    : Show(terminal, path, inInches);
            }

            if (FilePlace.Of(path).Kind != FilePlaceKind.Nothing)
            {
                throw new OutputFaultException($"{path} exists already and is not overwritten. Name another file; --show draws this one.");
            }

            _ = OutputPlan.Of(terminal, ("FILE", path));
            AirframeAnswers? answers =
                said.Length == 0 && !parsed.GetValue(coaxial)
                    ? Ask(terminal)
                    : Said(said.Select(s => (s, parsed.GetValue(s.Option)!)), parsed.GetValue(coaxial), inInches);
            if (answers is null)
            {
                terminal.Output.WriteLine();
                terminal.Output.WriteLine("Stopped; nothing was written.");
                return ExitCode.Done;
            }

            return Write(terminal, path, answers, inInches, draw: said.Length > 0 || parsed.GetValue(coaxial));
        });
        return command;
    }

    private static int Show(Terminal terminal, string path, bool inch)
    {
        Airframe airframe = AirframeFile.Read(path);
        InputRemarks.Write(terminal, path, airframe.Remarks);
        new AirframeSketch(terminal.Output, terminal.Width, inch).Write(airframe);
        return ExitCode.Done;
    }

    private static AirframeAnswers? Ask(Terminal terminal) =>
        new AirframeDialogue(terminal.Input, terminal.Output, terminal.Width).Run(new());

    private static AirframeAnswers Said(IEnumerable<(Setting Setting, string Text)> said, bool coaxial, bool inch)
    {
        AirframeAnswers answers = new() { Coaxial = coaxial };
        foreach ((Setting setting, string text) in said)
        {
            (AirframeAnswers? taken, string? problem) = setting.Take(answers, text, inch);
            answers = taken ?? throw new UsageException($"{setting.Option.Name}: '{NumberOption.Cut(text)}' cannot be used. {problem}");
        }

        return (answers.Layout, answers.SpanMm, answers.WideMm, answers.LongMm) switch
        {
            (ArmLayout.Rectangle, null, double, double) => answers,
            (ArmLayout.Rectangle, _, _, _) => throw new UsageException(
                "A rectangle needs --wide and --long, such as --wide 320 --long 400, and no --span."
            ),
            (_, double, null, null) => answers,
            (_, double, _, _) => throw new UsageException("--wide and --long are for --shape rectangle."),
            _ => throw new UsageException(
                "Give the span, the distance from a motor axis to the opposite one through the centre: --span 840. Without "
                    + "any option the command asks."
            ),
        };
    }

    private static int Write(Terminal terminal, string path, AirframeAnswers answers, bool inch, bool draw)
    {
        string text = AirframeText.Of(answers.ToAirframe(), answers.Bolts);
        ResultOutput.Write(terminal, path, stream => stream.Write(Encoding.UTF8.GetBytes(text)), tell: false);
        if (draw)
        {
            new AirframeSketch(terminal.Output, terminal.Width, inch).Write(answers.ToAirframe());
            terminal.Output.WriteLine();
        }

        if (!ResultOutput.IsStandardOutput(path))
        {
            InputRemarks.Write(terminal, path, AirframeFile.Read(path).Remarks);
            terminal.Output.WriteLine($"Written to {path}. Check the spins on the aircraft before you rely on yaw figures.");
        }

        return ExitCode.Done;
    }

    private sealed class Setting(
        string name,
        string value,
        string description,
        Func<AirframeAnswers, string, bool, (AirframeAnswers? Answers, string? Problem)> take
    )
    {
        internal Option<string?> Option { get; } = new(name) { Description = description, HelpName = value };

        internal (AirframeAnswers? Answers, string? Problem) Take(AirframeAnswers answers, string text, bool inch) =>
            take(answers, text, inch);
    }
}
