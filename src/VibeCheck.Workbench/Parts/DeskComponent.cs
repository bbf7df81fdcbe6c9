using Microsoft.AspNetCore.Components;
using VibeCheck.Logs.Inputs;
using VibeCheck.Workbench.Jobs;

namespace VibeCheck.Workbench.Parts;

/// <summary>A part of a page that shows the desk and is rendered again when the desk changes.</summary>
public abstract class DeskComponent : ComponentBase, IDisposable
{
    /// <summary>The desk.</summary>
    [Inject]
    internal Desk Desk { get; set; } = null!;

    /// <summary>What the desk shows now.</summary>
    protected DeskView View => Desk.View;

    /// <summary>Why the last change could not be made; null when it was made.</summary>
    protected string? Problem { get; set; }

    /// <inheritdoc/>
    public void Dispose()
    {
        Desk.Changed -= OnChanged;
        Leave();
        GC.SuppressFinalize(this);
    }

    /// <summary>Unsubscribes from other events that the part listens to.</summary>
    protected virtual void Leave() { }

    /// <inheritdoc/>
    protected override void OnInitialized() => Desk.Changed += OnChanged;

    /// <summary>Makes a change that writes to the folder; a fault goes to <see cref="Problem"/>, and what was typed stays.</summary>
    /// <returns>Whether it was made.</returns>
    protected bool Try(Action change)
    {
        try
        {
            change();
            Problem = null;
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            Problem = $"It could not be saved: {JobFolder.Cause(e)}. What you entered is still here; {JobFolder.Remedy(e)}, and try again.";
        }
        catch (UnfitChangeException e)
        {
            Problem = e.Message;
        }
        catch (InputFaultException e)
        {
            Problem = $"It could not be saved, because a file of the folder cannot be read: {e.Message}";
        }
#pragma warning disable CA1031 // The edge of a tap: a bug must be shown on the page, not end the page with everything typed on it.
        catch (Exception e)
#pragma warning restore CA1031
        {
            Problem = OwnFault.Text(e);
        }

        return false;
    }

    private void OnChanged() => _ = InvokeAsync(StateHasChanged);
}
